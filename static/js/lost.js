// A press that did not arrive says so: without this, a lost connection looks like a press that did nothing.
// The two sentences stand in the page ([data-lost]), unseen until they are true.
(() => {
  const show = (why) => {
    for (const one of document.querySelectorAll("[data-lost]")) one.hidden = one.dataset.lost !== why;
  };

  document.addEventListener("htmx:sendError", () => show("connection"));
  document.addEventListener("htmx:timeout", () => show("connection"));
  document.addEventListener("htmx:responseError", () => show("answer"));
  document.addEventListener("htmx:afterOnLoad", (event) => {
    if (event.detail.successful) show("");
  });
})();
