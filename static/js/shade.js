// A shade's words and its picker follow each other. Without this both still work when the form is sent.
(() => {
  const HEX = /^#[0-9a-f]{6}$/i;
  document.addEventListener("input", (event) => {
    const field = event.target;
    if (field.matches?.("input[type=color][data-shade-of]")) {
      const words = document.getElementById(field.dataset.shadeOf);
      if (words) words.value = field.value;
      return;
    }
    const picker = document.querySelector(`input[type=color][data-shade-of="${CSS.escape(field.id || "-")}"]`);
    if (picker && HEX.test(field.value.trim())) picker.value = field.value.trim().toLowerCase();
  }, true);
})();
