"use strict";
// A file that is dropped onto the page becomes the form's file; without this the field does it.
(() => {
  const log = document.getElementById("log");
  const file = document.getElementById("file");
  const over = (on) => (event) => {
    event.preventDefault();
    log.classList.toggle("over", on);
  };
  for (const name of ["dragenter", "dragover"]) document.addEventListener(name, over(true));
  for (const name of ["dragleave", "drop"]) document.addEventListener(name, over(false));
  document.addEventListener("drop", (event) => {
    if (event.dataTransfer.files.length) {
      file.files = event.dataTransfer.files;
      log.value = "";
      file.focus();
    } else {
      log.value = event.dataTransfer.getData("text");
    }
  });
})();
