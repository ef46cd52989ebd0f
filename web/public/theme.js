// Sets light or dark before the first paint; a file of its own because the page's policy allows no inline script.
(function () {
  var kept = null;
  try {
    kept = localStorage.getItem('boxfettle.theme');
  } catch (refused) {
    // Storage may be closed to the page; then the device's own setting rules.
  }
  var dark = matchMedia('(prefers-color-scheme: dark)').matches;
  document.documentElement.dataset.theme = kept === 'light' || kept === 'dark' ? kept : dark ? 'dark' : 'light';
})();
