/* How an outline is asked for: a shape with its measures, or corners on a grid that are moved with a mouse, a finger
 * or the keyboard. */
import { get, set } from './address.js';
import { control, shown } from './controls.js';
import { h, s } from './dom.js';
import { crossing, ringArea_m2, ringBox, ringOf } from './shapes.js';
import { area, length, say } from './words.js';

const shapes = ['ellipse', 'rectangle', 'circle', 'stadium', 'polygon'];
const measures = {
	ellipse: ['length_m', 'width_m'], rectangle: ['length_m', 'width_m', 'corner_radius_m'], circle: ['diameter_m'],
	stadium: ['length_m', 'width_m'], polygon: [],
};
const grid_m = 0.1;
const corners_most = 200;

function picture(shape) {
	const part = {
		ellipse: s('ellipse', { cx: 20, cy: 13, rx: 17, ry: 10 }), rectangle: s('rect', { x: 3, y: 3, width: 34, height: 20 }),
		circle: s('circle', { cx: 20, cy: 13, r: 11 }), stadium: s('rect', { x: 3, y: 4, width: 34, height: 18, rx: 9 }),
		polygon: s('path', { d: 'M4 12 12 3 24 8 36 4 37 18 22 23 8 21Z' }),
	}[shape];
	return s('svg', { viewBox: '0 0 40 26', class: 'shape', 'aria-hidden': 'true' }, part);
}

/* Goes over to another shape; the measures that both have stay, a drawn one starts as an oval of eight corners. */
function changeShape(store, base, shape) {
	const old = get(store.state.enquiry, base) ?? {};
	const ring = ringOf(old);
	const box = ring && ringBox(ring);
	const length_m = old.length_m ?? old.diameter_m ?? (box ? box.right - box.left : undefined);
	const width_m = old.width_m ?? old.diameter_m ?? (box ? box.top - box.bottom : undefined);
	const snapped = (value) => Math.round(value / grid_m) / (1 / grid_m);

	for (const name of ['length_m', 'width_m', 'diameter_m', 'corner_radius_m', 'points_m'])
		if (shape === 'polygon' || !measures[shape].includes(name))
			delete store.state.typed[`${base}/${name}`];
	const next = { kind: shape };
	if (shape === 'polygon')
		next.points_m = ringOf({ kind: 'ellipse', length_m: length_m ?? 4, width_m: width_m ?? 3 }, 8)
			.map((point) => point.map(snapped));
	else if (shape === 'circle')
		next.diameter_m = length_m;
	else
		Object.assign(next, { length_m, width_m });
	set(store.state.enquiry, base, next);
	store.give(`${base}/kind`, shape);
}

/* ---- the drawing board ---- */

function board(store, base) {
	const pointer = `${base}/points_m`;
	const points = () => get(store.state.enquiry, pointer) ?? [];
	let chosen = 0;
	let view = null;
	let dragging = false;

	const drawing = s('svg', { class: 'board-drawing', 'aria-hidden': 'true' });
	const handles = h('div', { class: 'handles' });
	const sheet = h('div', { class: 'board-sheet', role: 'group', 'aria-label': say('draw-board') }, drawing, handles);
	const said = h('p', { class: 'measure', 'aria-live': 'polite' });

	function fit() {
		const box = ringBox(points());
		const span = Math.max(box.right - box.left, (box.top - box.bottom) * 1.4, 1) * 1.3;
		view = { left: (box.left + box.right - span) / 2, top: (box.top + box.bottom + span / 1.4) / 2, wide: span, high: span / 1.4 };
	}

	function put(index, x, y) {
		const next = points().map((point, i) => (i === index ? [x, y].map((v) => Math.round(v / grid_m) / (1 / grid_m)) : point));
		store.give(pointer, next);
		draw();
	}

	function move(index, right, up) {
		const [x, y] = points()[index];
		put(index, x + right, y + up);
		fit();
		draw();
	}

	function add() {
		const now = points();
		if (now.length >= corners_most)
			return;
		const [a, b] = [now[chosen], now[(chosen + 1) % now.length]];
		const middle = [0, 1].map((k) => Math.round(((a[k] + b[k]) / 2) * 100) / 100);
		chosen += 1;
		store.give(pointer, [...now.slice(0, chosen), middle, ...now.slice(chosen)]);
		draw();
		handles.children[chosen].focus();
	}

	function remove() {
		const now = points();
		if (now.length <= 3)
			return;
		store.give(pointer, now.filter((_, i) => i !== chosen));
		chosen = Math.min(chosen, now.length - 2);
		draw();
		handles.children[chosen].focus();
	}

	function key(event, index) {
		const far = event.shiftKey ? 10 : 1;
		const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
		chosen = index;
		if (step)
			move(index, step[0] * far * grid_m, step[1] * far * grid_m);
		else if (event.key === 'Insert' || event.key === '+')
			add();
		else if (event.key === 'Delete' || event.key === '-')
			remove();
		else
			return;
		event.preventDefault();
	}

	function drag(event, index) {
		if (!dragging)
			return;
		const box = sheet.getBoundingClientRect();
		put(index, view.left + ((event.clientX - box.left) / box.width) * view.wide,
			view.top - ((event.clientY - box.top) / box.height) * view.high);
	}

	function handle(index) {
		const stop = () => {
			if (dragging) {
				dragging = false;
				fit();
				draw();
			}
		};
		return h('button', { type: 'button', class: 'corner', keydown: (event) => key(event, Number(event.currentTarget.dataset.index)),
			focus: () => choose(index), 'data-index': index,
			pointerdown: (event) => {
				dragging = true;
				choose(index);
				event.currentTarget.setPointerCapture(event.pointerId);
			}, pointermove: (event) => drag(event, index), pointerup: stop, pointercancel: stop });
	}

	function choose(index) {
		chosen = index;
		[...handles.children].forEach((button, i) => button.classList.toggle('chosen', i === index));
		said.textContent = measureText();
	}

	function measureText() {
		const ring = points();
		const box = ringBox(ring);
		const cross = crossing(ring);
		return cross ? say('edges-cross', { a: cross[0] + 1, b: cross[1] + 1 })
			: say('drawn-measures', { length: length(box.right - box.left), width: length(box.top - box.bottom), area: area(ringArea_m2(ring)) });
	}

	/* As large as it takes for neighbours not to lie on one another; a board wider than its place is scrolled. */
	function scale(ring) {
		const apart = Math.min(...ring.flatMap(([x, y], i) => ring.slice(i + 1).map(([otherX, otherY]) => Math.hypot(x - otherX, y - otherY))));
		sheet.style.width = `max(100%, ${Math.ceil(Math.min(2000, (30 / Math.max(apart, grid_m)) * view.wide))}px)`;
	}

	function gridLines() {
		const step = view.wide > 40 ? 10 : view.wide > 16 ? 2 : 1;
		const lines = [];
		for (let x = Math.ceil(view.left / step) * step; x < view.left + view.wide; x += step)
			lines.push(`M${x} ${-view.top}V${-view.top + view.high}`);
		for (let y = Math.ceil((view.top - view.high) / step) * step; y < view.top; y += step)
			lines.push(`M${view.left} ${-y}H${view.left + view.wide}`);
		return { path: lines.join(''), step };
	}

	function draw() {
		const ring = points();
		if (ring.length < 3)
			return;
		if (view === null)
			fit();
		if (!dragging)
			scale(ring);
		const grid = gridLines();
		drawing.setAttribute('viewBox', `${view.left} ${-view.top} ${view.wide} ${view.high}`);
		drawing.replaceChildren(s('path', { class: 'grid', d: grid.path }),
			s('path', { class: crossing(ring) ? 'pond crossed' : 'pond', d: `M${ring.map(([x, y]) => `${x} ${-y}`).join('L')}Z` }));
		while (handles.children.length > ring.length)
			handles.lastChild.remove();
		while (handles.children.length < ring.length)
			handles.append(handle(handles.children.length));
		ring.forEach(([x, y], i) => {
			const button = handles.children[i];
			button.style.left = `${((x - view.left) / view.wide) * 100}%`;
			button.style.top = `${((view.top - y) / view.high) * 100}%`;
			button.setAttribute('aria-label', say('corner', { n: i + 1, of: ring.length, x: length(x), y: length(y) }));
			button.classList.toggle('chosen', i === chosen);
		});
		said.textContent = measureText();
	}

	const nudge = (label, text, right, up) => h('button', { type: 'button', 'aria-label': say(label),
		click: () => move(chosen, right * grid_m, up * grid_m) }, text);
	const tools = h('div', { class: 'board-tools' },
		nudge('move-left', '←', -1, 0), nudge('move-up', '↑', 0, 1), nudge('move-down', '↓', 0, -1), nudge('move-right', '→', 1, 0),
		h('button', { type: 'button', click: add }, say('add-corner')),
		h('button', { type: 'button', click: remove }, say('remove-corner')));
	const node = h('div', { class: 'drawn' }, h('p', { class: 'hint' }, say('draw-how')), h('div', { class: 'board' }, sheet), tools, said);
	return shown(pointer, node, () => {
		if (!dragging) {
			if (!handles.contains(document.activeElement))
				view = null;
			draw();
		}
	});
}

/* The whole control below `base`, such as '/pond/outline'. */
export function outlineControl(store, base) {
	const name = `shape${base}`;
	const parts = h('div', { class: 'measures' });
	let drawnFor = null;

	const choices = shapes.map((shape) => h('label', { class: 'shape-choice' },
		h('input', { type: 'radio', name, value: shape, change: () => changeShape(store, base, shape) }),
		picture(shape), h('span', {}, say(`shape-${shape}`))));
	const node = h('fieldset', { class: 'outline' }, h('legend', {}, say('what-shape')), h('div', { class: 'shapes' }, choices), parts);
	return shown(base, node, () => {
		const kind = get(store.state.enquiry, `${base}/kind`) ?? 'ellipse';
		for (const choice of choices)
			choice.firstChild.checked = choice.firstChild.value === kind;
		if (kind === drawnFor)
			return;
		drawnFor = kind;
		parts.replaceChildren(...(kind === 'polygon' ? [board(store, base)]
			: measures[kind].map((measure) => control(store, `${base}/${measure}`, { label: say(`m:${measure}`) }))));
	});
}
