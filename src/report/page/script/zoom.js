  // Zoom and pan of a drawing: buttons, keys, a wheel with Ctrl, two fingers, and dragging once it is larger. Some of
  // the path is always in view; letters, discs and lines grow less than the ground, so that what is close comes apart.
  const MOST_TIMES = 12;
  // How far a finger may stray and still tap, px.
  const TAP_PX = 10;

  // By which power of the zoom marks stay behind: they would stand far from their places if they did not grow at all.
  const BEHIND = 0.65;

  // What grows less: each with what it is scaled about.
  const held = (svg) => {
    const discs = [...svg.querySelectorAll('circle')].map((c) => ['cx', 'cy', 'r'].map((name) => Number(c.getAttribute(name))));
    const texts = [...svg.querySelectorAll('text')].map((text) => {
      const [x, y] = ['x', 'y'].map((name) => Number(text.getAttribute(name)));
      const disc = discs.find(([cx, cy, r]) => Math.hypot(cx - x, cy - y) < r);
      return [text, text.getAttribute('transform') || '', disc ? disc.slice(0, 2) : [x, y]];
    });
    // the triangles of the moments; what has a size on the ground is no mark
    const shapes = [...svg.querySelectorAll('.f-target:not(text)')].map((shape) => {
      const { x, y, width, height } = shape.getBBox();
      return [shape, '', [x + width / 2, y + height / 2]];
    });
    for (const line of svg.querySelectorAll('[class^="s-"], [class*=" s-"]')) if (!line.hasAttribute('stroke-width')) line.setAttribute('stroke-width', '1');
    const sizes = ['r', 'stroke-width', 'stroke-dasharray'].flatMap((name) =>
      [...svg.querySelectorAll(`[${name}]`)].map((element) => [element, name, element.getAttribute(name)]));
    return (times) => {
      for (const [text, own, [x, y]] of [...texts, ...shapes]) {
        if (times > 1) text.setAttribute('transform', `translate(${x} ${y}) scale(${1 / times}) translate(${-x} ${-y}) ${own}`);
        else if (own) text.setAttribute('transform', own);
        else text.removeAttribute('transform');
      }
      for (const [element, name, list] of sizes) element.setAttribute(name, list.split(' ').map((part) => Number(part) / times).join(' '));
    };
  };

  const zoomable = (holder, svg, { steps, places, perUnit, unit, tap }) => {
    const tools = holder.querySelector('.zoom');
    if (!tools) return null;
    const view = svg.viewBox.baseVal;
    const all = { x: view.x, y: view.y, width: view.width, height: view.height };
    const shown = tools.querySelector('output');
    const keep = held(svg);
    const spots = Array.from({ length: steps }, (_, i) => places(i)).filter((spot) => spot && spot[0] > all.x && spot[0] < all.x + all.width && spot[1] > all.y && spot[1] < all.y + all.height);
    let dot = null;
    const times = () => all.width / view.width;
    const larger = () => times() > 1.001;
    const inside = ([x, y], by = 0) => x >= view.x + by * view.width && x <= view.x + (1 - by) * view.width
      && y >= view.y + by * view.height && y <= view.y + (1 - by) * view.height;
    const put = (x, y) => {
      const within = (at, from, whole, part) => Math.min(Math.max(at, from), from + whole - part);
      view.x = within(x, all.x, all.width, view.width);
      view.y = within(y, all.y, all.height, view.height);
    };
    // The least move that brings a place into the view, a little away from its edge.
    const bring = ([x, y]) => {
      const shift = (at, from, part) => Math.min(Math.max(from, at - 0.9 * part), at - 0.1 * part);
      put(shift(x, view.x, view.width), shift(y, view.y, view.height));
    };
    // A length of a round number, as wide as it is now.
    const scale = () => {
      const pixels = (svg.getBoundingClientRect().width / view.width) * perUnit;
      const most = 70 / pixels;
      const power = 10 ** Math.floor(Math.log10(most));
      const length = [5, 2, 1].map((part) => part * power).find((part) => part <= most);
      const bar = document.createElement('i');
      bar.style.width = `${(length * pixels).toFixed(1)}px`;
      return [bar, `${Number(length.toPrecision(1))}\u00a0${unit}`];
    };
    let before = 0;
    const show = (x, y, width) => {
      view.width = width;
      view.height = (width * all.height) / all.width;
      put(x, y);
      if (larger() && spots.length && !spots.some((spot) => inside(spot))) {
        const away = ([a, b]) => Math.hypot(a - view.x - view.width / 2, b - view.y - view.height / 2);
        bring(spots.reduce((best, spot) => (away(spot) < away(best) ? spot : best)));
      }
      holder.toggleAttribute('data-larger', larger());
      if (before === times()) return;
      before = times();
      keep(larger() ? times() ** BEHIND : 1);
      const factor = `${(Math.round(times() * 10) / 10).toString()}\u00a0\u00d7`;
      shown.replaceChildren(...(larger() ? [factor, ' ', ...scale()] : [factor]));
    };
    const zoom = (factor, at) => {
      const to = Math.min(Math.max(times() * factor, 1), MOST_TIMES);
      const ratio = times() / to;
      show(at.x - (at.x - view.x) * ratio, at.y - (at.y - view.y) * ratio, all.width / to);
    };
    // By button and key: about the cursor.
    const aboutDot = (factor) => () => {
      if (dot && !inside(dot)) bring(dot);
      zoom(factor, dot ? { x: dot[0], y: dot[1] } : { x: view.x + view.width / 2, y: view.y + view.height / 2 });
    };
    const pan = (dx, dy) => show(view.x + dx * view.width, view.y + dy * view.height, view.width);
    const whole = () => show(all.x, all.y, all.width);
    const actions = { in: aboutDot(1.5), out: aboutDot(1 / 1.5), whole };
    for (const button of tools.querySelectorAll('button')) button.addEventListener('click', actions[button.dataset.zoom]);
    const keys = {
      '+': actions.in, '=': actions.in, '-': actions.out, 0: whole,
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
    let began = null;
    const spread = () => {
      const [a, b] = [...fingers.values()];
      return { distance: Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY), clientX: (a.clientX + b.clientX) / 2, clientY: (a.clientY + b.clientY) / 2 };
    };
    svg.addEventListener('pointerdown', (event) => {
      fingers.set(event.pointerId, event);
      began = fingers.size === 1 ? event : null;
      if (larger() || fingers.size > 1) svg.setPointerCapture(event.pointerId);
    });
    svg.addEventListener('pointermove', (event) => {
      const last = fingers.get(event.pointerId);
      if (!last) return;
      if (event.pointerType === 'mouse' && !event.buttons) {
        // let go of outside the drawing
        fingers.delete(event.pointerId);
        return;
      }
      const pair = fingers.size === 2 ? spread() : null;
      fingers.set(event.pointerId, event);
      const box = svg.getBoundingClientRect();
      if (pair) {
        const now = spread();
        zoom(now.distance / Math.max(pair.distance, 1), place(svg, now));
        pan((pair.clientX - now.clientX) / box.width, (pair.clientY - now.clientY) / box.height);
      } else if (larger()) {
        pan((last.clientX - event.clientX) / box.width, (last.clientY - event.clientY) / box.height);
      }
    });
    svg.addEventListener('pointerup', (event) => {
      // what did not drag the plan moves the cursor
      if (began && began.pointerId === event.pointerId && Math.hypot(event.clientX - began.clientX, event.clientY - began.clientY) < TAP_PX) tap(event);
    });
    for (const end of ['pointerup', 'pointercancel']) svg.addEventListener(end, (event) => fingers.delete(event.pointerId));
    // On paper the plan is whole.
    let left = null;
    addEventListener('beforeprint', () => {
      left = left || [view.x, view.y, view.width];
      whole();
    });
    addEventListener('afterprint', () => {
      if (left) show(...left);
      left = null;
    });
    svg.setAttribute('tabindex', '0');
    svg.setAttribute('aria-keyshortcuts', '+ - 0 ArrowLeft ArrowRight ArrowUp ArrowDown');
    tools.hidden = false;
    whole();
    return {
      panning: () => fingers.size > 0 && (larger() || fingers.size > 1),
      // Where the cursor is now; one moved elsewhere is kept in view.
      at(spot, own) {
        dot = spot;
        if (spot && !own && larger() && !inside(spot)) bring(spot);
      },
    };
  };
