// A part's script comes once, what it draws with every step; whichever is there first waits here for the other.

function part(name) {
  const parts = (globalThis.mistcalcParts ??= {});
  if (!parts[name]) {
    let comes;
    const show = new Promise((done) => (comes = done));
    parts[name] = { show, comes };
  }
  return parts[name];
}

// As `show`, in the part's own style.
function styled(show, css) {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(css);
  return (given) => {
    given.parentElement.adoptedStyleSheets = [sheet];
    return show({ ...given, data: given.data[0] });
  };
}
