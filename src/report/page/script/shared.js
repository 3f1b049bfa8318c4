  // What the other parts of the script share. Everything on the page but the cursor works without any of it.
  const SVG = 'http://www.w3.org/2000/svg';
  const attempts = JSON.parse(document.getElementById('data').textContent);
  for (const attempt of attempts) {
    for (const key of Object.keys(attempt)) if (key.endsWith('Text')) attempt[key] = attempt[key].split(';');
    const { from, step, count } = attempt.t;
    if (count) attempt.t = Array.from({ length: count }, (_, i) => from + step * i);
  }

  const plainNumbers = (text) => text.replace(/\u2212(?=\d)/g, '-').replace(/(\d)\u202f(?=\d)/g, '$1');
  const known = (x) => x !== null && x !== undefined;
  const clock = (s) => {
    const whole = Math.round(Math.abs(s));
    return (s < 0 && whole > 0 ? '\u2212' : '') + Math.floor(whole / 60) + ':' + String(whole % 60).padStart(2, '0');
  };
  const whole = (x) => String(Math.round(x)).replace('-', '\u2212');
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
