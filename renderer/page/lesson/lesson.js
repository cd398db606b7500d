// The lesson page.
document.getElementById('question').hidden = false;
