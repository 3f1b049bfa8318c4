// One cursor through all drawings of an attempt: the range moves it by arrow keys, a pointer over
// a drawing by hovering or dragging. Everything else on the page works without this script.
(() => {
  'use strict';
  const SVG = 'http://www.w3.org/2000/svg';
  const attempts = JSON.parse(document.getElementById('data').textContent);

  const plainNumbers = (text) => text.replace(/\u2212(?=\d)/g, '-').replace(/(\d)\u202f(?=\d)/g, '$1');
  const known = (x) => x !== null && x !== undefined;
  const clock = (s) => {
    const whole = Math.round(Math.abs(s));
    return (s < 0 && whole > 0 ? '\u2212' : '') + Math.floor(whole / 60) + ':' + String(whole % 60).padStart(2, '0');
  };
  const whole = (x) => String(Math.round(x)).replace('-', '\u2212');
  const tens = (x) => whole(10 * Math.round(x / 10));
  const along = ([from, to, start, end], x) => start + ((x - from) / (to - from)) * (end - start);

  const add = (parent, name, attributes) => {
    const element = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    parent.append(element);
    return element;
  };

  // The step nearest in time.
  const stepAt = (times, t) => {
    let low = 0;
    let high = times.length - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (times[middle] <= t) low = middle;
      else high = middle;
    }
    return t - times[low] < times[high] - t ? low : high;
  };

  // A pointer's place in the units of a drawing.
  const place = (svg, event) => {
    const box = svg.getBoundingClientRect();
    const view = svg.viewBox.baseVal;
    return {
      x: view.x + ((event.clientX - box.left) / box.width) * view.width,
      y: view.y + ((event.clientY - box.top) / box.height) * view.height,
    };
  };

  // A panel over time or over the way flown: a hair line and a dot on the line drawn in it.
  const linePanel = (svg, frame, places, ...lines) => {
    const hair = add(svg, 'line', { class: 'hair', y1: frame.top, y2: frame.bottom });
    const dots = lines.map((series) => [add(svg, 'circle', { class: 'dot', r: 4 }), series]);
    return {
      show(i) {
        const x = along(frame.across, places[i]);
        hair.setAttribute('x1', x);
        hair.setAttribute('x2', x);
        for (const [dot, series] of dots) {
          const seen = known(series[i]);
          dot.style.display = seen ? '' : 'none';
          if (!seen) continue;
          dot.setAttribute('cx', x);
          const y = along(frame.value, series[i]);
          dot.setAttribute('cy', Math.min(Math.max(y, frame.top), frame.bottom));
        }
      },
      step(point) {
        const [from, to, start, end] = frame.across;
        return stepAt(places, from + ((point.x - start) / (end - start)) * (to - from));
      },
    };
  };

  // The plan and the last mile: a dot on the track, found by the nearest place; `at` has none for steps not drawn.
  const placePanel = (svg, steps, at) => {
    const dot = add(svg, 'circle', { class: 'dot', r: 5 });
    let last = 0;
    return {
      show(i) {
        last = i;
        const spot = at(i);
        dot.style.display = spot ? '' : 'none';
        dot.setAttribute('data-step', i);
        if (!spot) return;
        dot.setAttribute('cx', spot[0]);
        dot.setAttribute('cy', spot[1]);
      },
      step(point) {
        let best = last;
        let least = Infinity;
        for (let i = 0; i < steps; i += 1) {
          const spot = at(i);
          if (!spot) continue;
          const [x, y] = spot;
          // Orbits overlap: of places equally near, the one nearest in time to where we were.
          const cost = Math.hypot(x - point.x, y - point.y) + Math.abs(i - last) * 0.02;
          if (cost < least) {
            least = cost;
            best = i;
          }
        }
        return best;
      },
    };
  };

  // What there is to say about one step. Figures with an interval come as text, rounded as everywhere.
  const facts = (attempt, i) => {
    const list = [['', clock(attempt.t[i])]];
    const say = (name, figure, unit) => {
      const [value, low, high] = figure.split('|');
      if (value) list.push([name, `${value}\u00a0${unit} (${low} to ${high})`]);
    };
    const [feet, knots, rate] = attempt.units;
    say('height', attempt.heightText[i], feet);
    if (known(attempt.inHand[i])) list.push(['in hand', `${tens(attempt.inHand[i])}\u00a0${feet}`]);
    say('CAS', attempt.casText[i], knots);
    say('descent', attempt.descentText[i], rate);
    if (known(attempt.ground[i])) list.push(['ground speed', `${whole(attempt.ground[i])}\u00a0${knots}`]);
    if (known(attempt.bank[i])) {
      const bank = Math.round(attempt.bank[i]);
      list.push(['bank', `${Math.abs(bank)}°${bank > 0 ? ' right' : bank < 0 ? ' left' : ''}`]);
    }
    const step = attempt.t.length > 1 ? attempt.t[1] - attempt.t[0] : 1;
    for (const mark of attempt.marks) {
      if (Math.abs(mark.t - attempt.t[i]) <= step / 2) list.push([`${mark.n}`, mark.kind]);
    }
    return list;
  };

  // Moves the cursor with the clock, so many times as fast.
  const play = (cursor, range, attempt, move) => {
    const button = cursor.querySelector('.play');
    const pace = cursor.querySelector('select');
    const last = attempt.t.length - 1;
    let from = null;
    const stop = () => {
      from = null;
      button.textContent = 'Play';
    };
    const tick = (now) => {
      if (!from) return;
      const t = from.t + ((now - from.now) / 1000) * Number(pace.value);
      move(stepAt(attempt.t, Math.min(t, attempt.t[last])));
      if (t >= attempt.t[last]) stop();
      else requestAnimationFrame(tick);
    };
    const start = () => {
      const at = Number(range.value);
      from = { now: performance.now(), t: attempt.t[at >= last ? 0 : at] };
      button.textContent = 'Pause';
      requestAnimationFrame(tick);
    };
    button.addEventListener('click', () => (from ? stop() : start()));
    pace.addEventListener('change', () => from && start());
    range.addEventListener('input', stop);
  };

  // Zoom and pan of a drawing: buttons, keys, a wheel with Ctrl, two fingers, and dragging once it is larger.
  const MOST_TIMES = 12;
  const zoomable = (holder, svg) => {
    const tools = holder.querySelector('.zoom');
    if (!tools) return { panning: () => false };
    const view = svg.viewBox.baseVal;
    const whole = { x: view.x, y: view.y, width: view.width, height: view.height };
    const shown = tools.querySelector('output');
    const times = () => whole.width / view.width;
    const show = (x, y, width) => {
      const height = (width * whole.height) / whole.width;
      const within = (at, from, all, part) => Math.min(Math.max(at, from), from + all - part);
      view.x = within(x, whole.x, whole.width, width);
      view.y = within(y, whole.y, whole.height, height);
      view.width = width;
      view.height = height;
      const larger = times() > 1.001;
      holder.toggleAttribute('data-larger', larger);
      shown.textContent = `${(Math.round(times() * 10) / 10).toString()} \u00d7`;
    };
    const zoom = (factor, at) => {
      const to = Math.min(Math.max(times() * factor, 1), MOST_TIMES);
      const ratio = times() / to;
      const centre = at || { x: view.x + view.width / 2, y: view.y + view.height / 2 };
      show(centre.x - (centre.x - view.x) * ratio, centre.y - (centre.y - view.y) * ratio, whole.width / to);
    };
    const pan = (dx, dy) => show(view.x + dx * view.width, view.y + dy * view.height, view.width);
    const actions = { in: () => zoom(1.5), out: () => zoom(1 / 1.5), whole: () => show(whole.x, whole.y, whole.width) };
    for (const button of tools.querySelectorAll('button')) button.addEventListener('click', actions[button.dataset.zoom]);
    const keys = {
      '+': actions.in, '=': actions.in, '-': actions.out, 0: actions.whole,
      ArrowLeft: () => pan(-0.15, 0), ArrowRight: () => pan(0.15, 0), ArrowUp: () => pan(0, -0.15), ArrowDown: () => pan(0, 0.15),
    };
    svg.addEventListener('keydown', (event) => {
      const action = event.ctrlKey || event.metaKey || event.altKey ? null : keys[event.key];
      if (!action) return;
      action();
      event.preventDefault();
    });
    svg.addEventListener('wheel', (event) => {
      if (!event.ctrlKey && !event.metaKey) return;
      event.preventDefault();
      zoom(Math.exp(-event.deltaY / 300), place(svg, event));
    }, { passive: false });
    svg.addEventListener('dblclick', (event) => zoom(2, place(svg, event)));
    const fingers = new Map();
    const spread = () => {
      const [a, b] = [...fingers.values()];
      return { distance: Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY), clientX: (a.clientX + b.clientX) / 2, clientY: (a.clientY + b.clientY) / 2 };
    };
    svg.addEventListener('pointerdown', (event) => {
      fingers.set(event.pointerId, event);
      if (times() > 1.001 || fingers.size > 1) svg.setPointerCapture(event.pointerId);
    });
    svg.addEventListener('pointermove', (event) => {
      const before = fingers.get(event.pointerId);
      if (!before) return;
      const pair = fingers.size === 2 ? spread() : null;
      fingers.set(event.pointerId, event);
      const box = svg.getBoundingClientRect();
      if (pair) {
        const now = spread();
        zoom(now.distance / Math.max(pair.distance, 1), place(svg, now));
        pan((pair.clientX - now.clientX) / box.width, (pair.clientY - now.clientY) / box.height);
      } else if (times() > 1.001) {
        pan((before.clientX - event.clientX) / box.width, (before.clientY - event.clientY) / box.height);
      }
    });
    for (const end of ['pointerup', 'pointercancel']) svg.addEventListener(end, (event) => fingers.delete(event.pointerId));
    svg.setAttribute('tabindex', '0');
    svg.setAttribute('aria-keyshortcuts', '+ - 0 ArrowLeft ArrowRight ArrowUp ArrowDown');
    tools.hidden = false;
    actions.whole();
    return { panning: () => fingers.size > 0 && (times() > 1.001 || fingers.size > 1) };
  };

  // A row of the measures shows the stretch of time it was taken from, in the panels with a line across and in the plan.
  const stretches = (section, attempt) => {
    const frames = { side: attempt.side, speed: attempt.speed, descent: attempt.descentFrame };
    const shades = [];
    for (const [name, frame] of Object.entries(frames)) {
      const svg = section.querySelector(`[data-panel="${name}"] svg`);
      if (svg && frame) {
        const rect = add(svg, 'rect', { class: 'stretch', y: frame.top, height: frame.bottom - frame.top, width: 0 });
        shades.push([rect, frame.across, name === 'side' ? attempt.way : null]);
      }
    }
    const plan = section.querySelector('[data-panel="plan"] svg');
    const way = plan && attempt.plan ? add(plan, 'polyline', { class: 'way', points: '' }) : null;
    const show = (row) => {
      const [from, to] = row ? row.dataset.stretch.split(',').map(Number) : [0, 0];
      if (way) {
        const steps = row ? attempt.t.map((t, i) => i).filter((i) => attempt.t[i] >= from - 0.5 && attempt.t[i] <= to + 0.5) : [];
        const { x, y, perFt } = attempt.plan;
        way.setAttribute('points', steps.filter((i) => known(attempt.east[i])).map((i) => `${(x + attempt.east[i] * perFt).toFixed(1)},${(y - attempt.north[i] * perFt).toFixed(1)}`).join(' '));
      }
      for (const [rect, across, way] of shades) {
        const put = (t) => (way ? way[stepAt(attempt.t, t)] : t);
        const left = along(across, Math.max(put(from), across[0]));
        const right = along(across, Math.min(put(to), across[1]));
        rect.setAttribute('x', left);
        rect.setAttribute('width', row ? Math.max(right - left, 2) : 0);
      }
    };
    for (const row of section.querySelectorAll('tr[data-stretch]')) {
      row.addEventListener('pointerenter', () => show(row));
      row.addEventListener('pointerleave', () => show(null));
      row.addEventListener('focusin', () => show(row));
      row.addEventListener('focusout', () => show(null));
    }
  };

  const link = (attempt) => {
    const section = document.getElementById(attempt.id);
    const cursor = section && section.querySelector('.cursor');
    if (!cursor) return;
    const range = cursor.querySelector('input');
    const output = cursor.querySelector('output');
    const panels = [];

    const move = (i) => {
      range.value = i;
      for (const panel of panels) panel.show(i);
      const list = facts(attempt, i);
      output.replaceChildren(
        ...list.map(([name, value]) => {
          const span = document.createElement('span');
          const bold = document.createElement('b');
          bold.textContent = value;
          span.append(name ? `${name} ` : '', bold);
          return span;
        }),
      );
      range.setAttribute('aria-valuetext', list.map(([name, value]) => `${name} ${value}`.trim()).join(', '));
    };

    const attach = (name, frame, make) => {
      const holder = section.querySelector(`[data-panel="${name}"]`);
      const svg = holder && holder.querySelector('svg');
      if (!svg || !frame) return;
      const panel = make(svg, frame);
      panels.push(panel);
      holder.setAttribute('data-linked', '');
      const { panning } = zoomable(holder, svg);
      const follow = (event) => panning() || move(panel.step(place(svg, event)));
      svg.addEventListener('pointermove', follow);
      svg.addEventListener('pointerdown', follow);
    };

    const steps = attempt.t.length;
    const onPlan = ({ x, y, perFt }) => (i) => (known(attempt.east[i]) ? [x + attempt.east[i] * perFt, y - attempt.north[i] * perFt] : null);
    const onMile = (mile) => (i) => (known(mile.along[i]) && known(attempt.height[i])
      ? [along(mile.across, mile.along[i]), along(mile.value, attempt.height[i])] : null);
    attach('plan', attempt.plan, (svg, frame) => placePanel(svg, steps, onPlan(frame)));
    attach('side', attempt.side, (svg, frame) => linePanel(svg, frame, attempt.way, attempt.height, attempt.inHand));
    attach('speed', attempt.speed, (svg, frame) => linePanel(svg, frame, attempt.t, attempt.cas));
    attach('descent', attempt.descentFrame, (svg, frame) => linePanel(svg, frame, attempt.t, attempt.descent));
    attach('last-mile', attempt.lastMile, (svg, mile) => placePanel(svg, steps, onMile(mile)));
    range.addEventListener('input', () => move(Number(range.value)));
    play(cursor, range, attempt, move);
    stretches(section, attempt);
    cursor.hidden = false;
    move(stepAt(attempt.t, 0));
  };

  attempts.filter((attempt) => attempt.t.length > 1).forEach(link);

  // The attempts over one another: each can be left out.
  for (const box of document.querySelectorAll('[data-lay]')) {
    box.closest('label').hidden = false;
    box.addEventListener('change', () => {
      for (const group of document.querySelectorAll(`.over-${box.dataset.lay}`)) group.style.display = box.checked ? '' : 'none';
    });
  }

  // All there is to know of a measure stands once in the page; a row that is opened gets it in place of its link.
  for (const link of document.querySelectorAll('.more a')) {
    const row = link.closest('details');
    row.addEventListener('toggle', () => {
      const all = document.getElementById(link.hash.slice(1));
      if (row.open && all && link.isConnected) link.parentElement.replaceWith(all.querySelector('dl').cloneNode(true));
    });
  }

  // A table is a stop of the Tab key only while there is something to scroll to.
  const stops = new ResizeObserver((entries) => {
    for (const { target } of entries) {
      if (target.scrollWidth > target.clientWidth + 1) target.setAttribute('tabindex', '0');
      else target.removeAttribute('tabindex');
    }
  });
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
      const cell = (c) => [(c.querySelector('summary') || c).textContent.trim().replace(/\s+/g, ' '), ...Array(c.colSpan - 1).fill('')].join('\t');
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
})();
