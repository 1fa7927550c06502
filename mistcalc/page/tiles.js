// A question answered by a picture: buttons in a row of which one is chosen. Arrow keys move, as among radio buttons.
// data: {name, chosen, options: [{key, title, text, picture}]}, pictures being addresses of images.

const rows = new WeakMap();

function show({ data, parentElement, setTriggerValue }) {
  let row = rows.get(parentElement);
  if (!row) {
    row = parentElement.appendChild(document.createElement("div"));
    row.className = "tiles";
    row.setAttribute("role", "radiogroup");
    rows.set(parentElement, row);
  }
  row.setAttribute("aria-label", data.name);
  const choose = (key) => setTriggerValue("chosen", key);
  data.options.forEach((option, n) => {
    const tile = row.children[n] || made(row);
    const chosen = option.key === data.chosen;
    tile.querySelector("img").src = option.picture;
    tile.querySelector("b").textContent = option.title;
    tile.querySelector("span").textContent = option.text || "";
    tile.setAttribute("aria-checked", chosen);
    tile.tabIndex = chosen || (!data.chosen && n === 0) ? 0 : -1;
    tile.onclick = () => choose(option.key);
    tile.onkeydown = (event) => {
      const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
      if (!step) return;
      event.preventDefault();
      const next = (n + step + data.options.length) % data.options.length;
      row.children[next].focus();
      choose(data.options[next].key);
    };
  });
  while (row.children.length > data.options.length) row.lastChild.remove();
}

function made(row) {
  const tile = row.appendChild(document.createElement("button"));
  tile.type = "button";
  tile.setAttribute("role", "radio");
  const picture = tile.appendChild(document.createElement("img"));
  picture.alt = "";
  tile.appendChild(document.createElement("b"));
  tile.appendChild(document.createElement("span"));
  return tile;
}
