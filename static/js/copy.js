// Copy buttons: [data-copy="id"] copies the text of that element and says so beside the button.
// Without script the text is there to select by hand, and the button stays hidden.
(() => {
  const ready = (root) => {
    for (const button of root.querySelectorAll("[data-copy][hidden]")) button.hidden = false;
  };

  const byHand = (element) => {
    const range = document.createRange();
    range.selectNodeContents(element);
    const selection = getSelection();
    selection.removeAllRanges();
    selection.addRange(range);
  };

  // The clipboard needs a secure address; a phone in the house opens plain http, so the old way stays.
  const copy = async (element) => {
    const text = element.innerText.trim();
    if (navigator.clipboard && isSecureContext) {
      try {
        await navigator.clipboard.writeText(text);
        return true;
      } catch {
        // fall through to the selection
      }
    }
    byHand(element);
    return document.execCommand("copy");
  };

  document.addEventListener("click", async (event) => {
    const button = event.target.closest("[data-copy]");
    if (!button) return;
    const source = document.getElementById(button.dataset.copy);
    if (!source) return;
    const said = document.getElementById(`${button.dataset.copy}-said`);
    const done = await copy(source);
    if (said) said.textContent = done ? "Copied." : "Marked: copy it with your own keys.";
  });

  document.addEventListener("DOMContentLoaded", () => ready(document));
  document.addEventListener("htmx:load", (event) => ready(event.target));
  if (document.readyState !== "loading") ready(document);
})();
