  attempts.filter((attempt) => attempt.t.length > 1).forEach(link);

  // The attempts over one another: each can be left out.
  for (const box of document.querySelectorAll('[data-lay]')) {
    box.closest('label').hidden = false;
    box.addEventListener('change', () => {
      for (const group of document.querySelectorAll(`.over-${box.dataset.lay}`)) group.style.display = box.checked ? '' : 'none';
    });
  }

  // Folded: without this script a link to it needs it open.
  for (const all of document.querySelectorAll('.about > details')) all.open = false;

  // All there is to know of a measure stands once in the page; a row that is opened gets it in place of its link.
  for (const link of document.querySelectorAll('.more a')) {
    const row = link.closest('details');
    row.addEventListener('toggle', () => {
      const all = document.getElementById(link.hash.slice(1));
      if (row.open && all && link.isConnected) link.replaceWith(all.querySelector('dl').cloneNode(true));
    });
  }

  // A table is a stop of the Tab key only while there is something to scroll to.
  const stops = new ResizeObserver((entries) => requestAnimationFrame(() => {
    for (const { target } of entries) {
      if (target.scrollWidth > target.clientWidth + 1) target.setAttribute('tabindex', '0');
      else target.removeAttribute('tabindex');
    }
  }));
  for (const holder of document.querySelectorAll('.scroll')) stops.observe(holder);

  // Every table copies whole, tab by tab.
  for (const holder of document.querySelectorAll('.scroll')) {
    const table = holder.querySelector('table');
    if (!table || !table.caption) continue;
    const button = document.createElement('button');
    button.type = 'button';
    button.className = 'copy';
    button.textContent = 'Copy';
    button.setAttribute('aria-label', `Copy the table: ${table.caption.textContent.trim()}`);
    table.caption.append(' ', button);
    button.addEventListener('click', () => {
      const cell = (c) => [(c.querySelector('svg') ? '' : (c.querySelector('summary') || c).textContent).trim().replace(/\s+/g, ' '), ...Array(c.colSpan - 1).fill('')].join('\t');
      const text = [...table.rows].map((row) => [...row.cells].map(cell).join('\t')).join('\n');
      const done = () => {
        button.textContent = 'Copied';
        setTimeout(() => (button.textContent = 'Copy'), 1500);
      };
      const give = (event) => {
        event.clipboardData.setData('text/plain', plainNumbers(text));
        event.preventDefault();
        event.stopImmediatePropagation();
        done();
      };
      document.addEventListener('copy', give, { capture: true, once: true });
      document.execCommand('copy');
      document.removeEventListener('copy', give, { capture: true });
    });
  }

  // Copied numbers get the minus and the plain digits that a spreadsheet reads.
  document.addEventListener('copy', (event) => {
    const text = String(document.getSelection());
    const plain = plainNumbers(text);
    if (plain !== text && event.clipboardData) {
      event.clipboardData.setData('text/plain', plain);
      event.preventDefault();
    }
  });
