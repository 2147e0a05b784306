// A press that changes a list takes its own button away. Where the page cannot put the focus back by its id,
// it goes to what has come in its place: the next press of the same line, of the line after, or the list.
// [data-place] marks such a list. Without this script the page still works; the keyboard starts at its top.
(() => {
  let left = null;

  document.addEventListener("htmx:beforeSwap", (event) => {
    const list = event.detail.target;
    const from = document.activeElement;
    left = null;
    if (!list || !list.matches || !list.matches("[data-place]") || !list.contains(from)) return;
    const lines = [...list.querySelectorAll("li")];
    const line = from.closest("li");
    left = { list: list.id, line: line && line.id, after: lines.slice(lines.indexOf(line) + 1).map((one) => one.id) };
  });

  document.addEventListener("htmx:afterSettle", () => {
    if (!left) return;
    const { list, line, after } = left;
    left = null;
    const found = document.getElementById(list);
    if (!found || document.activeElement !== document.body) return;
    for (const id of [line, ...after]) {
      const button = id && found.querySelector(`#${CSS.escape(id)} button`);
      if (button) {
        button.focus({ preventScroll: true });
        return;
      }
    }
    found.focus({ preventScroll: true });
  });
})();
