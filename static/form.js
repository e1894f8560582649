/* The questions: one control for one field, a shape that is measured or drawn, the few that make a price, one at a
 * time after that, and all there are. All controls of a field show the same value, wherever they stand on the page. */
import { area, button, crossing, feetAndInches, fieldLabel, get, h, hasText, heading, isLength, length, lengthUnit, monthName, readLength, readNumber, ringArea_m2, ringBox,
	ringOf, roundAmount, s, say, set, spoken, theirs, typedNumber, unitName, wordTitle } from './basics.js';

const alive = new Set();
let count = 0;

/* ---- text of a value and value of a text ---- */

const cellText = (cell) => (typeof cell === 'number' ? typedNumber(cell) : cell ?? '?');

function textOf(field, value) {
	if (value === undefined || value === null)
		return '';
	if (typeof value === 'boolean')
		return value ? '1' : '0';
	if (value === 'unknown')
		return say('unsure');
	if (field.kind === 'list')
		return value.map((row) => Object.values(row).map(cellText).join(' ')).join('\n');
	if (field.kind === 'tally')
		return Object.entries(value).map((pair) => pair.join(' ')).join('\n');
	return isLength(field) && lengthUnit() === 'ft' ? feetAndInches(value) : typedNumber(field.unit === 'share' ? value * 100 : value);
}

/* The values of a line by the field's columns; null among them for what can't be read. */
function rowOf({ kind, columns }, line) {
	const cells = line.trim().split(/[\s:;]+/);
	if (kind === 'tally')
		return [cells[0], readNumber(cells[1] ?? '')];
	const row = columns.map((column, i) => [column.name ?? i, column.words ? cells[i] ?? null : readNumber(cells[i] ?? '')]);
	return cells.length !== row.length || row.some(([, cell]) => cell === null) ? null : columns[0].name ? Object.fromEntries(row) : row.map(([, cell]) => cell);
}

/* Undefined where nothing is typed, null where it can't be read. */
function valueOf(field, text) {
	if (text.trim() === '')
		return undefined;
	if (field.mayBeUnknown && text.trim() === say('unsure'))
		return 'unknown';
	if (field.kind === 'list' || field.kind === 'tally') {
		const rows = text.split('\n').filter((line) => line.trim() !== '').map((line) => rowOf(field, line));
		return rows.some((row) => row === null || row.includes?.(null)) ? null : field.kind === 'tally' ? Object.fromEntries(rows) : rows;
	}
	if (isLength(field))
		return readLength(text, lengthUnit());
	const value = readNumber(text);
	return value !== null && field.unit === 'share' ? value / 100 : value;
}

/* ---- kinds of control: each returns {input, show}; show may return a hint ---- */

function textControl(store, field, id) {
	const tall = field.kind === 'list' || field.kind === 'tally';
	const input = h(tall ? 'textarea' : 'input', {
		id, type: tall ? null : 'text', rows: tall ? 3 : null, autocomplete: 'off', spellcheck: 'false', autocapitalize: 'off',
		inputmode: tall || isLength(field) ? null : 'decimal',
		input() {
			const value = valueOf(field, input.value);
			if (value === null || (value !== undefined && textOf(field, value) !== input.value))
				store.state.typed[field.pointer] = input.value;
			else
				delete store.state.typed[field.pointer];
			store.give(field.pointer, value ?? undefined, value === null);
		},
	});
	return { input, show(value) {
		if (document.activeElement !== input)
			input.value = store.state.typed[field.pointer] ?? textOf(field, value);
		/* what a text in the other system of lengths comes to */
		return isLength(field) && typeof value === 'number' && (lengthUnit() === 'ft' || /['"′″’”fip]/i.test(input.value))
			? say('in-metres', { value: `${typedNumber(Math.round(value * 100) / 100)}\u00a0m` }) : '';
	} };
}

const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);
const titleOf = (store, field, word) => wordTitle(field, word, store.region?.words?.[field.pointer]);
const choiceValue = (field, text) => (field.kind === 'yesno' && text !== 'unknown' ? text === 'true' : text);

function choicesOf(store, field) {
	return [...(field.kind === 'yesno' ? [['true', say('yes')], ['false', say('no')]] : field.words.map((word) => [word, capital(titleOf(store, field, word))])),
		...(field.mayBeUnknown ? [['unknown', say('unsure')]] : [])];
}

const options = (rows) => rows.map(([value, title]) => h('option', { value }, title));

function selectControl(store, field, id) {
	const input = h('select', { id, change: () => store.give(field.pointer, input.value === '' ? undefined : choiceValue(field, input.value)) });
	let shownRows = '';
	return { input, show(value) {
		const rows = [['', say(`blank-${field.leftOut ?? 'must'}`)], ...choicesOf(store, field)];
		if (rows.join() !== shownRows)
			input.replaceChildren(...options(rows));
		shownRows = rows.join();
		input.value = value ?? '';
	} };
}

function dateControl(store, field, id) {
	const input = h('input', { id, type: 'date', change: () => store.give(field.pointer, input.value || undefined) });
	return { input, show: (value) => void (input.value = value ?? '') };
}

const none = 'none-of-these';

/* Boxes to tick; 'none of these' is the empty set, and goes with nothing else. */
function setControl(store, field, id) {
	const input = h('div.checks', { id, role: 'group' });
	const boxes = new Map([...field.words, 'unknown', none].map((word) => [word, h('input', { type: 'checkbox', value: word, change: () => tick(word) })]));
	const tick = (word) => {
		const ticked = [...boxes].filter(([other, box]) => box.checked && (other === none) === (word === none)).map(([other]) => other);
		store.give(field.pointer, ticked.includes(none) ? [] : ticked.length > 0 ? ticked : undefined);
	};
	input.append(...[...boxes].map(([word, box]) => h('label.check', box, word === none || word === 'unknown' ? say(word === none ? none : 'unsure') : titleOf(store, field, word))));
	return { input, show(value) {
		const held = Array.isArray(value) ? (value.length > 0 ? value : [none]) : [value];
		for (const [word, box] of boxes)
			box.checked = held.includes(word);
	} };
}

function monthsControl(store, field, id) {
	const months = Array.from({ length: 12 }, (_, i) => [i + 1, monthName(i + 1)]);
	const both = ['from-month', 'to-month'].map((which) => h('select', { 'aria-label': say(which), change() {
		const given = both.map((select) => Number(select.value));
		store.give(field.pointer, given.includes(0) ? undefined : given);
	} }, options([['', '–'], ...months])));
	return { input: h('div.pair', { id, role: 'group' }, both), show(value) {
		if (Array.isArray(value))
			both.forEach((select, i) => (select.value = value[i]));
	} };
}

const makers = { choice: selectControl, yesno: selectControl, date: dateControl, set: setControl, months: monthsControl };

function problemsOf(store, pointer) {
	return [...store.problems].filter(([at]) => at === pointer || (at.startsWith(`${pointer}/`) && !hasControl(at))).flatMap(([, texts]) => texts).join(' ');
}

/* A labelled control with its hint and its error. */
export function control(store, pointer, labelText) {
	const field = store.fields.get(pointer);
	const id = `c${++count}`;
	const { input, show } = (makers[field.kind] ?? textControl)(store, field, id);
	const single = input.matches('input, select, textarea');
	const unit = h('span.unit');
	const label = h(single ? 'label' : 'span.label', { for: single ? id : null, id: `${id}-label` }, labelText ?? fieldLabel(field, pointer), unit);
	const hint = h('p.hint', { id: `${id}-hint` });
	const error = h('p.error', { id: `${id}-error` });
	const columns = field.columns?.map(({ name, help }) => (hasText(`m:${name}`) ? say(`m:${name}`) : help)).join(', ') ?? (field.kind === 'tally' ? say('tally-columns') : '');

	input.setAttribute('aria-describedby', `${hint.id} ${error.id}`);
	if (!single)
		input.setAttribute('aria-labelledby', label.id);
	if (field.leftOut === 'must')
		input.setAttribute('aria-required', 'true');
	return shown(pointer, h(`div.field.${field.kind}`, label, input, hint, error), () => {
		hint.textContent = show(get(store.state.enquiry, pointer)) || (columns ? say('one-a-line', { columns }) : '');
		unit.textContent = makers[field.kind] ? '' : ` ${isLength(field) ? lengthUnit() : field.unit === 'share' ? '%' : unitName(field.unit)}`;
		error.textContent = problemsOf(store, pointer);
		if (single && error.textContent)
			input.setAttribute('aria-invalid', 'true');
		else
			input.removeAttribute('aria-invalid');
	});
}

/* Anything that shows a part of the enquiry and wants to be told of changes. */
function shown(pointer, node, refresh) {
	alive.add({ pointer, node, refresh });
	refresh();
	return node;
}

/* Brings all of them in step with the enquiry and its problems; forgets those that have left the page. */
export function refreshControls() {
	for (const one of [...alive])
		if (one.node.isConnected)
			one.refresh();
		else
			alive.delete(one);
}

export const hasControl = (pointer) => [...alive].some((one) => one.pointer === pointer && one.node.isConnected && one.node.matches('.field'));

/* A value that the service speaks of, in words. */
export function valueText(store, pointer, value) {
	const field = store.fields.get(pointer) ?? { pointer, unit: '' };
	if (Array.isArray(value) && field.kind === 'set')
		return value.length === 0 ? say(none) : value.map((word) => wordTitle(field, word)).join(', ');
	if (typeof value === 'boolean')
		return say(value ? 'yes' : 'no');
	if (typeof value === 'string')
		return value === 'unknown' ? say('unsure') : titleOf(store, field, value);
	if (typeof value === 'object' && value !== null)
		return Object.entries(value).map(([name, part]) => (name === 'kind' ? '' : `${hasText(`s:${name}`) ? say(`s:${name}`) : name} `) +
			valueText(store, `${pointer}/${name}`, part)).join(', ');
	if (isLength(field))
		return length(value);
	return field.unit === 'share' ? `${typedNumber(value * 100)} %` : `${typedNumber(value)} ${unitName(field.unit)}`.trim();
}

/* ---- the outline: a shape with its measures, or corners on a grid ---- */

const measures = { ellipse: ['length_m', 'width_m'], rectangle: ['length_m', 'width_m', 'corner_radius_m'], circle: ['diameter_m'],
	stadium: ['length_m', 'width_m'], polygon: [] };
const pictures = {
	ellipse: 'M3 13a17 10 0 0 1 34 0a17 10 0 0 1 -34 0Z', rectangle: 'M3 3H37V23H3Z', circle: 'M9 13a11 11 0 0 1 22 0a11 11 0 0 1 -22 0Z',
	stadium: 'M12 4H28a9 9 0 0 1 0 18H12a9 9 0 0 1 0 -18Z', polygon: 'M4 12 12 3 24 8 36 4 37 18 22 23 8 21Z',
	vertical: 'M3 6V22H37V6', battered: 'M3 6L10 14H14L18 22H28L37 6', dish: 'M3 6Q20 40 37 6', stepped: 'M3 6V12H11V17H17V22H37V6',
};
const picture = (word) => (pictures[word] ? s('svg.shape', { viewBox: '0 0 40 26', 'aria-hidden': 'true' }, s('path', { d: pictures[word] })) : null);
const corners_most = 200;
const onGrid = (metres) => Math.round(metres * 10) / 10;

/* Goes over to another shape; the measures that both have stay, a drawn one starts as an oval of eight corners. */
function changeShape(store, base, kind) {
	const old = get(store.state.enquiry, base) ?? {};
	const ring = ringOf(old);
	const box = ring ? ringBox(ring) : {};
	const length_m = old.length_m ?? old.diameter_m ?? box.wide;
	const width_m = old.width_m ?? old.diameter_m ?? box.high;

	for (const name of ['length_m', 'width_m', 'diameter_m', 'corner_radius_m', 'points_m'])
		if (!measures[kind].includes(name))
			delete store.state.typed[`${base}/${name}`];
	set(store.state.enquiry, base, kind === 'polygon'
		? { kind, points_m: ringOf({ kind: 'ellipse', length_m: length_m ?? 4, width_m: width_m ?? 3 }, 8).map((point) => point.map(onGrid)) }
		: kind === 'circle' ? { kind, diameter_m: length_m } : { kind, length_m, width_m });
	store.give(`${base}/kind`, kind);
}

function board(store, pointer) {
	const points = () => get(store.state.enquiry, pointer) ?? [];
	let chosen = 0;
	let view = null; /* what of the ground is seen: null to fit it anew, fixed while a corner is dragged */
	let dragging = false;

	const drawing = s('svg.board-drawing', { 'aria-hidden': 'true' });
	const handles = h('div.handles');
	const sheet = h('div.board-sheet', { role: 'group', 'aria-label': say('draw-board') }, drawing, handles);
	const said = h('p.measure', { 'aria-live': 'polite' });

	function put(index, point) {
		store.give(pointer, points().map((other, i) => (i === index ? point.map(onGrid) : other)));
		draw();
	}

	function move(index, right, up) {
		const [x, y] = points()[index];
		view = null;
		put(index, [x + right, y + up]);
	}

	function replace(next, index) {
		chosen = index;
		store.give(pointer, next);
		draw();
		handles.children[chosen].focus();
	}

	function add() {
		const now = points();
		const after = now[(chosen + 1) % now.length];
		if (now.length < corners_most)
			replace(now.toSpliced(chosen + 1, 0, now[chosen].map((v, k) => Math.round((v + after[k]) * 50) / 100)), chosen + 1);
	}

	function remove() {
		if (points().length > 3)
			replace(points().toSpliced(chosen, 1), Math.min(chosen, points().length - 2));
	}

	function key(event) {
		const far = event.shiftKey ? 1 : 0.1;
		const step = { ArrowLeft: [-far, 0], ArrowRight: [far, 0], ArrowUp: [0, far], ArrowDown: [0, -far] }[event.key];
		const act = step ? () => move(chosen, ...step) : { Insert: add, '+': add, Delete: remove, '-': remove }[event.key];
		if (!act)
			return;
		event.preventDefault();
		act();
	}

	function drag(event) {
		const box = sheet.getBoundingClientRect();
		if (dragging)
			put(chosen, [view.left + ((event.clientX - box.left) / box.width) * view.wide, view.top - ((event.clientY - box.top) / box.height) * view.high]);
	}

	function drop() {
		dragging = false;
		view = null;
		draw();
	}

	function choose(index) {
		chosen = index;
		[...handles.children].forEach((corner, i) => corner.classList.toggle('chosen', i === index));
	}

	const corner = (index) => h('button.corner', { type: 'button', keydown: key, focus: () => choose(index), pointermove: drag, pointerup: drop, pointercancel: drop,
		pointerdown(event) {
			dragging = true;
			choose(index);
			event.currentTarget.setPointerCapture(event.pointerId);
		} });

	/* As large as it takes for neighbours not to lie on one another; a board wider than its place is scrolled. */
	function fit(ring) {
		const { left, bottom, wide, high } = ringBox(ring);
		const span = Math.max(wide, high * 1.4, 1) * 1.3;
		const apart = Math.min(...ring.flatMap(([x, y], i) => ring.slice(i + 1).map(([otherX, otherY]) => Math.hypot(x - otherX, y - otherY))));
		view = { left: left + (wide - span) / 2, top: bottom + (high + span / 1.4) / 2, wide: span, high: span / 1.4 };
		sheet.style.width = `max(100%, ${Math.ceil(Math.min(2000, (30 / Math.max(apart, 0.1)) * span))}px)`;
	}

	function gridLines() {
		const step = view.wide > 40 ? 10 : view.wide > 16 ? 2 : 1;
		const steps = (from, to) => Array.from({ length: Math.floor(to / step) - Math.ceil(from / step) + 1 }, (_, i) => (Math.ceil(from / step) + i) * step);
		return [...steps(view.left, view.left + view.wide).map((x) => `M${x} ${-view.top}v${view.high}`),
			...steps(view.top - view.high, view.top).map((y) => `M${view.left} ${-y}h${view.wide}`)].join('');
	}

	function draw() {
		const ring = points();
		if (ring.length < 3)
			return;
		const cross = crossing(ring);
		if (view === null)
			fit(ring);
		drawing.setAttribute('viewBox', `${view.left} ${-view.top} ${view.wide} ${view.high}`);
		drawing.replaceChildren(s('path.grid', { d: gridLines() }),
			s(cross ? 'path.pond.crossed' : 'path.pond', { d: `M${ring.map(([x, y]) => `${x} ${-y}`).join('L')}Z` }));
		while (handles.children.length > ring.length)
			handles.lastChild.remove();
		while (handles.children.length < ring.length)
			handles.append(corner(handles.children.length));
		ring.forEach(([x, y], i) => {
			const { style } = handles.children[i];
			style.left = `${((x - view.left) / view.wide) * 100}%`;
			style.top = `${((view.top - y) / view.high) * 100}%`;
			handles.children[i].setAttribute('aria-label', say('corner', { n: i + 1, of: ring.length, x: length(x), y: length(y) }));
		});
		choose(chosen);
		const { wide, high } = ringBox(ring);
		said.textContent = cross ? say('edges-cross', { a: cross[0] + 1, b: cross[1] + 1 })
			: say('drawn-measures', { length: length(wide), width: length(high), area: area(ringArea_m2(ring)) });
	}

	const nudge = (label, text, right, up) => button(text, () => move(chosen, right, up), { 'aria-label': say(label) });
	return shown(pointer, h('div.drawn', h('p.hint', say('draw-how')), h('div.board', sheet), h('div.asides',
		nudge('move-left', '←', -0.1, 0), nudge('move-up', '↑', 0, 0.1), nudge('move-down', '↓', 0, -0.1), nudge('move-right', '→', 0.1, 0),
		button(say('add-corner'), add), button(say('remove-corner'), remove)), said), () => {
		if (!dragging) {
			if (!handles.contains(document.activeElement))
				view = null;
			draw();
		}
	});
}

/* The whole control below `base`, such as '/pond/outline'. */
function outlineControl(store, base) {
	const parts = h('div.measures');
	let drawnFor = null;

	const inputs = Object.keys(measures).map((value) => h('input', { type: 'radio', name: `shape${base}`, value, change: () => changeShape(store, base, value) }));
	const choices = inputs.map((input) => h('label.shape-choice', input, picture(input.value), h('span', say(`shape-${input.value}`))));
	return shown(base, h('fieldset.outline', h('legend', say('what-shape')), h('div.shapes', choices), parts), () => {
		const kind = get(store.state.enquiry, `${base}/kind`) ?? 'ellipse';
		for (const input of inputs)
			input.checked = input.value === kind;
		if (kind !== drawnFor)
			parts.replaceChildren(...(kind === 'polygon' ? [board(store, `${base}/points_m`)]
				: measures[kind].map((measure) => control(store, `${base}/${measure}`, say(`m:${measure}`)))));
		drawnFor = kind;
	});
}

/* ---- the first three, and everything ---- */

/* Groups of the whole form, by the beginning of a pointer; the rest is with the first. */
const groups = { job: '', pond: '/pond', old: '/old_pond', roots: '/roots', stream: '/stream', water: '/water', equipment: '/equipment', edge: '/edge',
	planting: '/planting', site: '/site', facts: '/facts' };
const optional = ['/old_pond', '/stream', '/water/kept_pump', '/old_pond/outline', '/old_pond/profile'];
const asideFrom = ['/region', '/pond/depth_m'];

export function firstQuestions(store) {
	const inputs = ['m', 'ft'].map((value) => h('input', { type: 'radio', name: 'units', value, change: () => store.changeUnits(value) }));
	const units = h('fieldset.units', h('legend', say('lengths')), inputs.map((input) => h('label', input, ` ${say(`unit-${input.value}`)}`)), h('p.hint', say('lengths-how')));
	return [control(store, '/region', say('where')), outlineControl(store, '/pond/outline'), control(store, '/pond/depth_m', say('how-deep')),
		shown('units', units, () => inputs.forEach((input) => (input.checked = input.value === store.units())))];
}

/* A thing that is there or not, and if it is, what belongs to it. */
function thing(store, pointer, children) {
	const box = h('input', { type: 'checkbox', change: () => store.give(pointer, box.checked ? {} : undefined) });
	const inside = h('div.fields', children);
	return shown(pointer, h('div.thing', h('label.check', box, say(`has:${pointer}`)), inside), () => {
		box.checked = get(store.state.enquiry, pointer) !== undefined;
		inside.hidden = !box.checked;
	});
}

function below(store, start, pointers) {
	const deeper = optional.filter((pointer) => pointer !== start && pointer.startsWith(`${start}/`));
	const own = pointers.filter((pointer) => !pointer.includes('/outline/') && !deeper.some((deep) => pointer.startsWith(`${deep}/`)));
	return [...own.map((pointer) => control(store, pointer)),
		...deeper.map((pointer) => thing(store, pointer, pointer.endsWith('/outline') ? outlineControl(store, pointer)
			: below(store, pointer, pointers.filter((other) => other.startsWith(`${pointer}/`)))))];
}

/* All fields in their groups; `open` for the desk. */
export function allFields(store, open) {
	const pointers = [...store.fields.values()].filter((field) => field.kind !== 'object' && !asideFrom.includes(field.pointer)).map((field) => field.pointer);
	const groupOf = (pointer) => Object.keys(groups).findLast((name) => pointer.startsWith(`${groups[name]}/`));
	return Object.entries(groups).map(([name, start]) => {
		const own = pointers.filter((pointer) => groupOf(pointer) === name);
		const inside = h('div.fields');
		const fill = () => {
			if (node.open && inside.childElementCount === 0)
				inside.append(...(optional.includes(start) ? [thing(store, start, below(store, start, own))] : start ? below(store, start, own) : own.map((pointer) => control(store, pointer))));
		};
		const node = h('details.group', { id: `group-${name}`, open: open && name !== 'facts', toggle: fill }, h('summary', say(`g:${name}`)), inside);
		fill();
		return node;
	});
}

/* ---- the next question ---- */

const wishes = ['/planting/style', '/old_pond', '/stream'];
/* Asked by the kind of bed, then by its measures. */
export const asked = (pointer) => (pointer === '/pond/profile' ? '/pond/profile/kind' : pointer);

/* What to ask next: first what only the customer can wish, then what moves the price most or was assumed, then what
 * decides about permissions. */
export function nextQuestion(store) {
	const { range, quote, screen, fields, state } = store;
	const isOpen = (pointer) => get(state.enquiry, pointer) === undefined && !state.unsure.includes(pointer);
	const can = (row) => (fields.has(asked(row.pointer)) || row.pointer === '/edge') && !state.unsure.includes(asked(row.pointer));
	const openNow = (row) => can(row) && isOpen(asked(row.pointer));
	const wish = wishes.find(isOpen);

	if (wish && !(store.desk && range?.ask_next?.length > 0))
		return { pointer: wish };
	const found = (range ? range.ask_next.find(openNow) : quote.assumed.toSorted((a, b) => (a.where === 'visit') - (b.where === 'visit')).find(can)) ??
		screen?.still_to_ask?.find(openNow);
	return found ? { ...found, pointer: asked(found.pointer) } : null;
}

/* Ours in this language, else the service's, else the field's own name. */
function questionText(store, { pointer, question, because }) {
	const known = store.region?.questions?.find((row) => row.pointer === pointer);
	const field = store.fields.get(pointer);
	const own = (kind, other) => (hasText(`${kind}:${pointer}`) ? say(`${kind}:${pointer}`) : other ? h('span', { lang: theirs() }, other) : '');
	const label = spoken() === 'en' || hasText(`q:${pointer}`) ? '' : fieldLabel(field, pointer);
	return { ask: label || own('q', question ?? known?.question ?? field?.help), why: own('y', known?.why ?? because) };
}

const answers = (rows) => h('div.answers', { role: 'group' }, rows.map(([title, click, word]) => h('button.answer', { type: 'button', 'data-word': word, click }, picture(word), h('span', title))));

/* Yes or no for a thing; yes opens what belongs to it. */
function thingAnswers(store, pointer, done) {
	const more = h('div.fields', { hidden: true });
	const yes = () => {
		store.give(pointer, {});
		const own = [...store.fields.values()].filter((field) => /^\/[^/]+$/.test(field.pointer.replace(pointer, '')) && field.pointer.startsWith(pointer) &&
			(field.leftOut === 'must' || field.pointer === '/old_pond/shell'));
		more.replaceChildren(...own.map((field) => control(store, field.pointer)), button(say('go-on'), () => done(), { class: 'main' }));
		more.hidden = false;
		more.querySelector('input, select').focus();
	};
	return [answers([[say('yes'), yes], [say('no'), () => done('no')]]), more];
}

function answersOf(store, { pointer, value }, done) {
	const field = store.fields.get(pointer);
	const giveIt = (at, given) => () => {
		store.give(at, given);
		done();
	};
	if (pointer === '/edge')
		return answers(['coping_m', 'beach_m', 'turf_m'].map((name) => [say(`e:${name}`),
			giveIt(`/edge/${name}`, Math.round(((get(store.state.enquiry, `/edge/${name}`) ?? 0) + value) * 100) / 100)]));
	if (field.kind === 'object')
		return thingAnswers(store, pointer, done);
	if (field.kind === 'choice' || field.kind === 'yesno')
		return answers(choicesOf(store, field).filter(([word]) => word !== 'unknown').map(([word, title]) => [title, giveIt(pointer, choiceValue(field, word)), word]));
	return h('div.typed-answer', control(store, pointer), button(say('go-on'), () => done(), { class: 'main' }));
}

/* done(how) is called when the question is over; 'no' and 'unsure' set it aside. */
export function questionCard(store, question, done, back) {
	const { ask, why } = questionText(store, question);
	const { low_minor: low, high_minor: high } = question;
	return [heading(ask), h('p.why', why, ' ', high > low ? say('moves', { low: roundAmount(low), high: roundAmount(high) }) : '', ' ', question.where === 'visit' ? say('on-visit') : ''),
		answersOf(store, question, done), h('div.asides', button(say('not-sure'), () => done('unsure'), { id: 'unsure' }), back && button(say('back'), back))];
}
