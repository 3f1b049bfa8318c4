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
      places: at,
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

  // What there is to say about one step. Figures with an interval come as text, rounded as everywhere; at a key point
  // they are those of its table, and its time is the one that is written of it elsewhere. Of several at one step, the
  // one that was asked for comes first.
  const facts = (attempt, i, asked) => {
    const here = [...(attempt.stops[i] || [])].sort((a, b) => (b === asked) - (a === asked));
    const at = asked || here[0];
    const point = at && at.height ? at : here.find((stop) => stop.height || stop.cas) || {};
    const list = [['', at ? at.clock : clock(attempt.t[i])]];
    const say = (name, figure, unit) => {
      if (!figure) return;
      if (figure === 'none') {
        list.push([name, 'not measured']);
        return;
      }
      const [value, low, high] = figure.split('|');
      list.push(value ? [name, `${value}\u00a0${unit}`, `(${low} to ${high})`] : [name, 'can\u2019t tell', `(${low} to ${high}\u00a0${unit})`]);
    };
    const [feet, knots, rate] = attempt.units;
    say('height', point.height || attempt.heightText[i], feet);
    say('in hand', point.inHand || attempt.inHandText[i], feet);
    say('CAS', point.cas || attempt.casText[i], knots);
    say('descent', attempt.descentText[i], rate);
    if (known(attempt.ground[i])) list.push(['ground speed', `${whole(attempt.ground[i])}\u00a0${knots}`]);
    if (known(attempt.bank[i])) {
      const bank = Math.round(attempt.bank[i]);
      list.push(['bank', `${Math.abs(bank)}°${bank > 0 ? ' right' : bank < 0 ? ' left' : ''}`]);
    }
    if (attempt.bridged.some(([from, to]) => from < attempt.t[i] && attempt.t[i] < to)) list.push(['', 'a gap of the recording']);
    for (const { n, kind } of here) list.push([n === '!' ? 'danger from here:' : n, kind]);
    return list;
  };

  // The read-out keeps the height of its longest, so that nothing below it moves.
  const reserve = (output, attempt, put) => {
    const length = (i) => facts(attempt, i).flat().join(' ').length;
    const steps = attempt.t.map((t, i) => [length(i), i]).sort((a, b) => b[0] - a[0]);
    const longest = [...steps.slice(0, 12).map(([, i]) => i), ...Object.keys(attempt.stops).map(Number)];
    output.style.minHeight = '';
    let tallest = 0;
    for (const i of longest) {
      put(i);
      tallest = Math.max(tallest, output.offsetHeight);
    }
    output.style.minHeight = `${tallest}px`;
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
    for (const drawing of cursor.parentElement.querySelectorAll('.panels')) drawing.addEventListener('pointerdown', stop);
  };

  const link = (attempt) => {
    const section = document.getElementById(attempt.id);
    const cursor = section && section.querySelector('.cursor');
    if (!cursor) return;
    const range = cursor.querySelector('input');
    const output = cursor.querySelector('output');
    const panels = [];
    const steps = attempt.t.length;
    attempt.stops = {};
    for (const stop of attempt.marks) {
      const i = stepAt(attempt.t, stop.t);
      (attempt.stops[i] = attempt.stops[i] || []).push(stop);
    }

    const put = (i, asked) => {
      const list = facts(attempt, i, asked);
      output.replaceChildren(
        ...list.map(([name, value, interval]) => {
          const span = document.createElement('span');
          span.dataset.said = name || 'time';
          const bold = document.createElement('b');
          bold.textContent = value;
          span.append(name ? `${name} ` : '', bold, interval ? ` ${interval}` : '');
          return span;
        }),
      );
      range.setAttribute('aria-valuetext', list.map((said) => said.filter((word) => word).join(' ')).join(', '));
    };
    const move = (i, from, asked) => {
      range.value = i;
      for (const panel of panels) panel.show(i, panel === from);
      put(i, asked);
    };
    // The drawings in view, below the cursor, with the cursor at this time, at what was asked for.
    const reveal = (t, asked) => {
      move(stepAt(attempt.t, t), null, asked);
      const box = section.querySelector('[data-panel="plan"]').getBoundingClientRect();
      const seen = Math.min(box.bottom, innerHeight) - Math.max(box.top, cursor.offsetHeight);
      if (seen < 0.6 * Math.min(box.height, innerHeight - cursor.offsetHeight)) section.querySelector('.panels').scrollIntoView({ block: 'start' });
    };

    const attach = (name, frame, make) => {
      const holder = section.querySelector(`[data-panel="${name}"]`);
      const svg = holder && holder.querySelector('svg');
      if (!svg || !frame) return;
      const panel = make(svg, frame);
      panels.push(panel);
      holder.setAttribute('data-linked', '');
      const follow = (event) => move(panel.step(place(svg, event)), panel);
      const zoom = zoomable(holder, svg, { steps, places: panel.places, perUnit: frame.perFt / attempt.perUnit, unit: attempt.units[0], tap: follow });
      if (zoom) {
        const show = panel.show;
        panel.show = (i, own) => {
          show(i);
          zoom.at(panel.places(i), own);
        };
      }
      const unlessPanning = (event) => (zoom && zoom.panning()) || follow(event);
      svg.addEventListener('pointermove', unlessPanning);
      svg.addEventListener('pointerdown', unlessPanning);
    };

    const onPlan = ({ x, y, perFt }) => (i) => (known(attempt.east[i]) ? [x + attempt.east[i] * perFt, y - attempt.north[i] * perFt] : null);
    const onMile = (mile) => (i) => (known(mile.along[i]) && known(attempt.height[i])
      ? [along(mile.across, mile.along[i]), along(mile.value, attempt.height[i])] : null);
    const looks = glance(section, attempt);
    attach('plan', attempt.plan, (svg, frame) => placePanel(svg, steps, onPlan(frame)));
    attach('side', attempt.side, (svg, frame) => linePanel(svg, frame, attempt.way, attempt.height, attempt.inHand));
    attach('speed', attempt.speed, (svg, frame) => linePanel(svg, frame, attempt.t, attempt.cas));
    attach('descent', attempt.descentFrame, (svg, frame) => linePanel(svg, frame, attempt.t, attempt.descent));
    attach('last-mile', attempt.lastMile, (svg, mile) => placePanel(svg, steps, onMile(mile)));
    range.addEventListener('input', () => move(Number(range.value)));
    play(cursor, range, attempt, move);
    stretches(section, attempt, looks, (t) => {
      reveal(t);
      range.focus({ preventScroll: true });
    });
    jumps(section, attempt, reveal);
    cursor.hidden = false;
    const room = () => {
      reserve(output, attempt, put);
      put(Number(range.value));
      const tallest = Math.max(...[...document.querySelectorAll('.cursor')].map((one) => one.offsetHeight));
      document.documentElement.style.setProperty('--bar', `${tallest}px`);
    };
    move(stepAt(attempt.t, 0));
    room();
    let width = output.offsetWidth;
    new ResizeObserver(() => {
      if (output.offsetWidth === width) return;
      width = output.offsetWidth;
      requestAnimationFrame(room);
    }).observe(output);
  };
