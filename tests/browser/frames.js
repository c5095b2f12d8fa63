// Gathers what the page in each frame wrote down of itself, with the frame's name before it, once all are there.
addEventListener('load', () => {
  const found = [];
  for (const frame of document.querySelectorAll('iframe')) {
    const own = frame.contentDocument?.getElementById('found');
    const lines = own ? own.textContent.split('\n').filter(line => line) : ['nothing was looked at'];
    found.push(...lines.map(line => `${frame.title}: ${line}`));
  }
  const out = document.createElement('pre');
  out.id = 'found';
  out.textContent = found.join('\n');
  document.body.replaceChildren(out);
});
