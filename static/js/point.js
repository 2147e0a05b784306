// With JavaScript the photo may be shown as wide as the page: where it is tapped is counted in the width that
// the server knows, so the same address comes out as without.
(() => {
  for (const photo of document.querySelectorAll("input[type=image][data-wide]")) {
    photo.classList.add("pointing__photo--wide");
    photo.addEventListener("click", (event) => {
      if (!event.detail) return; // from the keyboard: the numbers below the photo are the way
      event.preventDefault();
      const box = photo.getBoundingClientRect();
      const scale = Number(photo.dataset.wide) / box.width;
      for (const [end, at] of [["x", event.clientX - box.left], ["y", event.clientY - box.top]]) {
        const field = document.createElement("input");
        field.type = "hidden";
        field.name = `${photo.name}.${end}`;
        field.value = String(Math.max(0, Math.round(at * scale)));
        photo.form.append(field);
      }
      photo.form.submit();
    });
  }
})();
