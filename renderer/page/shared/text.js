// Words on a page.

// Leaves a text as it is where it has not changed, so that a screen reader does not read it again.
function setText(element, text) {
  if (element.textContent !== text) element.textContent = text;
}
