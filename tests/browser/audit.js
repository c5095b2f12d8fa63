// Has the accessibility audit look at the whole page, what is folded and what is not chosen too, by every rule but those
// of the strictest level, and writes down what it finds: a line each, with rule, place and reason. The browser waits for
// it by its virtual clock.
(async () => {
  document.querySelectorAll('details').forEach(part => { part.open = true; });
  document.querySelectorAll('.choice').forEach(part => { part.style.display = 'block'; });
  const ofLevel = rule => !rule.tags.some(tag => tag.endsWith('aaa') || tag === 'deprecated');
  const rules = axe.getRules().filter(ofLevel).map(rule => rule.ruleId);
  const result = await axe.run(document, { runOnly: { type: 'rule', values: rules }, resultTypes: ['violations'] });
  const found = [];
  for (const violation of result.violations) {
    for (const node of violation.nodes) {
      const reason = node.failureSummary.trim().replace(/\s+/g, ' ');
      found.push(`${violation.id} (${violation.impact}): ${node.target.join(' ')}: ${reason}`);
    }
  }
  const out = document.createElement('pre');
  out.id = 'found';
  out.textContent = found.join('\n');
  document.body.replaceChildren(out);
})();
