// Looks at the boxes of all words as a browser lays them out, and writes down what nobody could read: words that leave
// the page or their chart, words that lie on each other, lines through words, and words without contrast.
(() => {
  const found = [];
  const say = (what, box, other) => found.push(`${what}: “${box.words}”${other ? ` and “${other.words}”` : ''}`);
  const boxes = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const words = node.textContent.trim().replace(/\s+/g, ' ').slice(0, 60);
    const parent = node.parentElement;
    if (!words || parent.closest('script, style, title, desc') || !parent.checkVisibility()) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const rect of range.getClientRects()) {
      if (rect.width < 1 || rect.height < 1) continue;
      const { left, top, right, bottom } = rect;
      boxes.push({ words, node, parent, svg: parent.closest('svg'), scrolls: parent.closest('.scroll'), left, top, right, bottom });
    }
  }
  const wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > wide + 1) found.push(`the page is wider than its window: ${document.documentElement.scrollWidth} px`);
  for (const box of boxes) {
    if (!box.scrolls && (box.left < -1 || box.right > wide + 1)) say('leaves the page', box);
    if (box.svg) {
      const sheet = box.svg.getBoundingClientRect();
      if (box.left < sheet.left - 3 || box.right > sheet.right + 3 || box.top < sheet.top - 4 || box.bottom > sheet.bottom + 4) say('leaves its chart', box);
    }
  }
  boxes.sort((a, b) => a.top - b.top);
  boxes.forEach((box, at) => {
    for (let next = at + 1; next < boxes.length && boxes[next].top < box.bottom; next += 1) {
      const other = boxes[next];
      if (other.node === box.node) continue;
      // What has scrolled below a column that stays is not seen.
      if (box.scrolls && box.scrolls === other.scrolls && box.scrolls.scrollWidth > box.scrolls.clientWidth + 1) continue;
      const across = Math.min(box.right, other.right) - Math.max(box.left, other.left);
      const down = Math.min(box.bottom, other.bottom) - Math.max(box.top, other.top);
      const height = Math.min(box.bottom - box.top, other.bottom - other.top);
      if (across > 2 && down > 0.4 * height) say('lie on each other', box, other);
    }
  });
  for (const line of document.querySelectorAll('path.level')) {
    if (!line.checkVisibility()) continue;
    const at = line.getBoundingClientRect();
    for (const box of boxes.filter(box => box.svg && box.svg === line.closest('svg'))) {
      const middle = [box.top + 0.3 * (box.bottom - box.top), box.bottom - 0.3 * (box.bottom - box.top)];
      if (at.height < 2 && at.top > middle[0] && at.top < middle[1] && Math.min(at.right, box.right) - Math.max(at.left, box.left) > 3) say('a line goes through', box);
    }
  }
  const channel = value => { const part = value / 255; return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4; };
  const light = colour => { const [r, g, b] = colour.match(/[\d.]+/g).map(Number); return 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b); };
  const paper = element => {
    for (let at = element; at; at = at.parentElement) {
      const colour = getComputedStyle(at).backgroundColor;
      if (!/, 0\)$|transparent/.test(colour)) return colour;
    }
    return 'rgb(255, 255, 255)';
  };
  for (const box of boxes) {
    // Words on a filled shape have the shape below them, not the paper.
    if (box.svg && box.parent.matches('.d, .o')) continue;
    const style = getComputedStyle(box.parent);
    const [a, b] = [light(box.svg ? style.fill : style.color), light(paper(box.parent))].sort((x, y) => y - x);
    if ((a + 0.05) / (b + 0.05) < 4.5) say(`contrast ${((a + 0.05) / (b + 0.05)).toFixed(1)}`, box);
  }
  const out = document.createElement('pre');
  out.id = 'found';
  out.textContent = [...new Set(found)].join('\n');
  document.body.replaceChildren(out);
})();
