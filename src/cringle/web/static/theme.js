// Put the look chosen earlier on the page before it is drawn; say that scripts run.
document.documentElement.dataset.script = "on";
try {
  const theme = localStorage.getItem("theme");
  if (theme) document.documentElement.dataset.theme = theme;
} catch {
  // a browser that keeps nothing shows the look of the device
}
