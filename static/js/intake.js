// New order: while the form is being fetched anew (words read, a line added), what she types meanwhile is kept
// and put back, and the answer is asked for again. Without this script the form still works, a press at a time.
(() => {
  let typed = null;

  const body = (event) => event.detail && event.detail.target && event.detail.target.id === "order-body";

  document.addEventListener("htmx:beforeRequest", (event) => {
    if (body(event)) typed = new Map();
  });

  document.addEventListener("input", (event) => {
    if (typed && event.target.name && event.target.closest("#order-form")) {
      typed.set(event.target.name, event.target.value);
    }
  });

  // The page stays where it was while its form is exchanged; a change that was taken leads to its answer.
  let before = null;

  document.addEventListener("htmx:beforeSwap", (event) => {
    if (!body(event)) return;
    const pressed = event.detail.requestConfig && event.detail.requestConfig.triggeringEvent;
    const button = pressed && (pressed.submitter || pressed.target);
    const value = (button && button.closest && button.closest("button") && button.closest("button").value) || "";
    before = { y: window.scrollY, taken: /^(use|unuse):/.test(value) };
  });

  const showAnswer = () => {
    const answer = document.getElementById("verdict");
    if (!answer) return;
    answer.focus({ preventScroll: true });
    if (answer.getBoundingClientRect().top < 0) answer.scrollIntoView({ block: "start" });
  };

  // A button that went with its line leaves the place, not the top of the page.
  const keepPlace = () => {
    if (before) {
      const { y, taken } = before;
      before = null;
      window.scrollTo({ top: y, behavior: "instant" });
      if (taken) return showAnswer();
    }
    if (document.activeElement === document.body) {
      const place = document.getElementById("order-body");
      if (place) place.focus({ preventScroll: true });
    }
  };

  document.addEventListener("htmx:afterSettle", (event) => {
    if (event.target.id === "order-body" || body(event)) keepPlace();
    if (!typed || !typed.size) {
      typed = null;
      return;
    }
    const kept = typed;
    typed = null;
    const form = document.getElementById("order-form");
    for (const [name, value] of kept) {
      const field = form && form.elements.namedItem(name);
      if (!field || field.value === value) continue;
      field.value = value;
      field.dispatchEvent(new Event("input", { bubbles: true }));
    }
  });

  // A half-typed form that was put back is answered at once.
  document.addEventListener("change", (event) => {
    if (event.target.id !== "order-form") return;
    const words = document.getElementById("id_their_words");
    const day = document.getElementById("id_hand_over");
    if (words && words.value) words.dispatchEvent(new Event("change"));
    else if (day) day.dispatchEvent(new Event("input", { bubbles: true }));
  });

  for (const name of ["htmx:sendAbort", "htmx:sendError", "htmx:responseError"]) {
    document.addEventListener(name, (event) => {
      if (body(event)) typed = null;
    });
  }
})();
