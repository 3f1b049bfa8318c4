  // The plan and the heights once more, small, beside the measures, where there is room: for the stretches of the rows.
  const glance = (section, attempt) => {
    const beside = section.querySelector('.glance');
    const looks = { plan: [], side: [], speed: [], descent: [] };
    for (const name of Object.keys(looks)) {
      const svg = section.querySelector(`[data-panel="${name}"] svg`);
      if (!svg) continue;
      looks[name].push(svg);
      if (!beside || (name !== 'plan' && name !== 'side')) continue;
      const small = svg.cloneNode(true);
      for (const element of [small, ...small.querySelectorAll('*')]) {
        // what is cut off stays cut by the first of that name
        for (const label of ['id', 'role', 'aria-labelledby']) element.removeAttribute(label);
      }
      for (const told of small.querySelectorAll('title, desc')) told.remove();
      beside.append(small);
      looks[name].push(small);
    }
    if (beside) beside.hidden = false;
    return looks;
  };

  // A row of the measures shows the stretch of time it was taken from, in the panels with a line across and in the plan.
  const stretches = (section, attempt, looks, reveal) => {
    const frames = { side: attempt.side, speed: attempt.speed, descent: attempt.descentFrame };
    const shades = Object.entries(frames).filter(([, frame]) => frame).flatMap(([name, frame]) => looks[name].map((svg) => {
      const rect = add(svg, 'rect', { class: 'stretch', y: frame.top, height: frame.bottom - frame.top, width: 0 });
      return [rect, frame.across, name === 'side' ? attempt.way : null];
    }));
    const ways = attempt.plan ? looks.plan.map((svg) => add(svg, 'polyline', { class: 'way', points: '' })) : [];
    const ends = (row) => row.dataset.stretch.split(',').map(Number);
    const show = (row) => {
      const [from, to] = row ? ends(row) : [0, 0];
      const steps = row && attempt.plan ? attempt.t.map((t, i) => i).filter((i) => attempt.t[i] >= from - 0.5 && attempt.t[i] <= to + 0.5) : [];
      const points = steps.filter((i) => known(attempt.east[i])).map((i) =>
        `${(attempt.plan.x + attempt.east[i] * attempt.plan.perFt).toFixed(1)},${(attempt.plan.y - attempt.north[i] * attempt.plan.perFt).toFixed(1)}`).join(' ');
      for (const way of ways) way.setAttribute('points', points);
      for (const [rect, across, way] of shades) {
        const put = (t) => (way ? way[stepAt(attempt.t, t)] : t);
        const left = along(across, Math.max(put(from), across[0]));
        const right = along(across, Math.min(put(to), across[1]));
        rect.setAttribute('x', left);
        rect.setAttribute('width', row ? Math.max(right - left, 2) : 0);
      }
    };
    // The row whose stretch was asked for keeps showing it.
    let kept = null;
    for (const row of section.querySelectorAll('tr[data-stretch]')) {
      for (const name of ['pointerenter', 'focusin']) row.addEventListener(name, () => show(row));
      for (const name of ['pointerleave', 'focusout']) row.addEventListener(name, () => show(kept));
      const told = row.querySelector('details > div');
      if (!told) continue;
      const [from, to] = ends(row);
      const button = document.createElement('button');
      button.type = 'button';
      button.className = 'reveal';
      button.textContent = `Show ${clock(from)} to ${clock(to)} in the drawings`;
      button.addEventListener('click', () => {
        kept = row;
        reveal(Math.max(from, attempt.t[0]));
        show(row);
      });
      const holder = document.createElement('p');
      holder.className = 'screen';
      holder.append(button);
      told.prepend(holder);
    }
  };

  // A time in the words of an attempt moves the cursor there.
  const TIME = /\b(\d+):(\d\d)(?!\d|:\d)( before the power came off)?/g;
  const jumps = (section, attempt, reveal) => {
    const button = (text, { t, stop }) => {
      const made = document.createElement('button');
      made.type = 'button';
      made.className = 'jump';
      made.textContent = text;
      made.setAttribute('aria-label', `${text}, move the cursor there`);
      made.addEventListener('click', () => reveal(t, stop));
      return made;
    };
    // The moment that is meant, at its own time: in a table the one of that row, in words rather a danger or a letter.
    const meant = (text, seconds, row) => {
      const named = attempt.marks.filter((mark) => mark.clock === text);
      const sign = row && row.cells[0].textContent.trim();
      const best = named.find((mark) => (!row ? !/^\d/.test(mark.n) : sign === text ? mark.n === '' : mark.n === sign)) || named[0];
      return { t: best ? best.t : seconds, stop: best || { clock: text } };
    };
    const [first, last] = [attempt.t[0], attempt.t[attempt.t.length - 1]];
    const holders = section.querySelectorAll('.headline li, .remarks li, td.clock');
    for (const holder of holders) {
      const text = holder.textContent;
      const parts = [];
      let at = 0;
      for (const found of text.matchAll(TIME)) {
        // not the minutes and seconds of a time of day
        if (text[found.index - 1] === ':') continue;
        const [all, minutes, seconds, before] = found;
        const word = `${minutes}:${seconds}`;
        const after = text.slice(found.index + all.length);
        const minus = before || text[found.index - 1] === '\u2212';
        const one = meant(minus ? `\u2212${word}` : word, (minus ? -1 : 1) * (60 * Number(minutes) + Number(seconds)), holder.closest('tr'));
        // a length of time is none of them, nor what the series does not hold
        if (one.t < first - 0.5 || one.t > last + 0.5 || /^ (before|after|later)/.test(after)) continue;
        const from = minus && !before ? found.index - 1 : found.index;
        parts.push(text.slice(at, from), button(text.slice(from, found.index + word.length), one));
        at = found.index + word.length;
      }
      if (parts.length) holder.replaceChildren(...parts, text.slice(at));
    }
  };
