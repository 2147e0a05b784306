// A half-typed form survives a reload or a lost page: form[data-keep="name"] is kept in sessionStorage
// while she types and forgotten when the server has taken it (a page with [data-kept-done="name"]).
(() => {
  const PREFIX = "keep:";
  const skip = (field) => !field.name || field.name === "csrfmiddlewaretoken"
    || ["password", "file", "hidden", "submit", "button"].includes(field.type);

  const store = (form) => {
    const kept = [];
    for (const field of form.elements) {
      if (skip(field)) continue;
      const tick = field.type === "checkbox" || field.type === "radio";
      kept.push([field.name, field.value, tick ? field.checked : null]);
    }
    try {
      sessionStorage.setItem(PREFIX + form.dataset.keep, JSON.stringify(kept));
    } catch {
      // full or forbidden: she loses nothing that was sent
    }
  };

  const restore = (form) => {
    let kept;
    try {
      kept = JSON.parse(sessionStorage.getItem(PREFIX + form.dataset.keep));
    } catch {
      return;
    }
    if (!Array.isArray(kept) || form.querySelector("[aria-invalid=true]")) return;
    const fields = [...form.elements].filter((field) => !skip(field));
    const used = new Set();
    let changed = false;
    for (const [name, value, ticked] of kept) {
      const tick = ticked !== null;
      const field = fields.find((f) => f.name === name && !used.has(f) && (!tick || f.value === value));
      if (!field) continue;
      used.add(field);
      if (tick) field.checked = ticked;
      else if (field.value !== value && (!field.value || field.value === field.defaultValue)) {
        field.value = value;
        changed = true;
      }
    }
    form.dispatchEvent(new Event("change", { bubbles: true }));
    const back = document.querySelector(`[data-kept-back="${form.dataset.keep}"]`);
    if (back && changed) back.hidden = false;
  };

  // What was put back may be of another day: one press begins anew.
  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-kept-clear]");
    if (!button) return;
    sessionStorage.removeItem(PREFIX + button.dataset.keptClear);
    location.assign(location.pathname);
  });

  document.addEventListener("DOMContentLoaded", () => {
    for (const done of document.querySelectorAll("[data-kept-done]")) {
      sessionStorage.removeItem(PREFIX + done.dataset.keptDone);
    }
    for (const form of document.querySelectorAll("form[data-keep]")) {
      restore(form);
      form.addEventListener("input", () => store(form));
      form.addEventListener("change", () => store(form));
    }
  });
})();
