// One cursor through all drawings of an attempt: the range moves it by arrow keys, a pointer over
// a drawing by hovering or dragging. Everything else on the page works without this script.
(() => {
  'use strict';
  const SVG = 'http://www.w3.org/2000/svg';
  const attempts = JSON.parse(document.getElementById('data').textContent);

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
      x: ((event.clientX - box.left) / box.width) * view.width,
      y: ((event.clientY - box.top) / box.height) * view.height,
    };
  };

  // A panel over time: a hair line and a dot on the line drawn in it.
  const timePanel = (svg, frame, attempt, series) => {
    const hair = add(svg, 'line', { class: 'hair', y1: frame.top, y2: frame.bottom });
    const dot = add(svg, 'circle', { class: 'dot', r: 4 });
    return {
      show(i) {
        const x = along(frame.time, attempt.t[i]);
        hair.setAttribute('x1', x);
        hair.setAttribute('x2', x);
        const seen = known(series[i]);
        dot.style.display = seen ? '' : 'none';
        if (!seen) return;
        dot.setAttribute('cx', x);
        const y = along(frame.value, series[i]);
        dot.setAttribute('cy', Math.min(Math.max(y, frame.top), frame.bottom));
      },
      step(point) {
        const [from, to, start, end] = frame.time;
        return stepAt(attempt.t, from + ((point.x - start) / (end - start)) * (to - from));
      },
    };
  };

  // The plan: a dot on the track, found by the nearest place.
  const planPanel = (svg, frame, attempt) => {
    const dot = add(svg, 'circle', { class: 'dot', r: 5 });
    const at = (i) => [frame.x + attempt.east[i] * frame.perFt, frame.y - attempt.north[i] * frame.perFt];
    let last = 0;
    return {
      show(i) {
        last = i;
        const [x, y] = at(i);
        dot.setAttribute('cx', x);
        dot.setAttribute('cy', y);
      },
      step(point) {
        let best = last;
        let least = Infinity;
        for (let i = 0; i < attempt.t.length; i += 1) {
          const [x, y] = at(i);
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
    const say = (name, text, unit) => {
      if (text) list.push([name, text.replace(/( \(|$)/, `\u00a0${unit}$1`)]);
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

  // A row of the measures shows the stretch of time it was taken from.
  const stretches = (section, attempt) => {
    const frames = { side: attempt.side, speed: attempt.speed, descent: attempt.descentFrame };
    const shades = [];
    for (const [name, frame] of Object.entries(frames)) {
      const svg = section.querySelector(`[data-panel="${name}"] svg`);
      if (svg && frame) {
        const rect = add(svg, 'rect', { class: 'stretch', y: frame.top, height: frame.bottom - frame.top, width: 0 });
        shades.push([rect, frame.time]);
      }
    }
    const show = (row) => {
      const [from, to] = row ? row.dataset.stretch.split(',').map(Number) : [0, 0];
      for (const [rect, time] of shades) {
        const left = along(time, Math.max(from, time[0]));
        const right = along(time, Math.min(to, time[1]));
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
      const follow = (event) => move(panel.step(place(svg, event)));
      svg.addEventListener('pointermove', follow);
      svg.addEventListener('pointerdown', follow);
    };

    attach('plan', attempt.plan, (svg, frame) => planPanel(svg, frame, attempt));
    attach('side', attempt.side, (svg, frame) => timePanel(svg, frame, attempt, attempt.height));
    attach('speed', attempt.speed, (svg, frame) => timePanel(svg, frame, attempt, attempt.cas));
    attach('descent', attempt.descentFrame, (svg, frame) => timePanel(svg, frame, attempt, attempt.descent));
    range.addEventListener('input', () => move(Number(range.value)));
    play(cursor, range, attempt, move);
    stretches(section, attempt);
    cursor.hidden = false;
    move(stepAt(attempt.t, 0));
  };

  attempts.filter((attempt) => attempt.t.length > 1).forEach(link);

  // Copied numbers get the minus and the plain digits that a spreadsheet reads.
  document.addEventListener('copy', (event) => {
    const text = String(document.getSelection());
    const plain = text.replace(/\u2212(?=\d)/g, '-').replace(/(\d)\u202f(?=\d)/g, '$1');
    if (plain !== text && event.clipboardData) {
      event.clipboardData.setData('text/plain', plain);
      event.preventDefault();
    }
  });
})();
