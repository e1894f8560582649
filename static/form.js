/* What is asked, and in whose words: elements, words and numbers, the enquiry and its fields, controls, questions. */

/* ---- elements ---- */

const drawn = /^(svg|g|path|rect|circle|polygon|text|clipPath)$/;

export const find = (id) => document.getElementById(id);
export const fill = (node, ...children) => node.replaceChildren(...children.flat(Infinity).filter(Boolean));

/* h('p.hint', { id: 'x', click: listener }, 'text', [more]); what is null or false is left out. */
export function h(name, ...children) {
	const [tag, ...kinds] = name.split('.');
	const node = drawn.test(tag) ? document.createElementNS('http://www.w3.org/2000/svg', tag)
		: document.createElement(tag);
	const attributes = children[0]?.constructor === Object ? children.shift() : {};

	if (kinds.length > 0)
		node.classList.add(...kinds);
	for (const [key, value] of Object.entries(attributes))
		if (typeof value === 'function')
			node.addEventListener(key, value);
		else if ((value ?? false) !== false)
			node.setAttribute(key, value === true ? '' : value);
	fill(node, children);
	return node;
}

export const button = (text, click, attributes) => h('button', { type: 'button', click, ...attributes }, text);
export const heading = (text) => h('h2', { tabindex: -1 }, text);

/* ---- words and numbers, in one language at a time ---- */

export const local = { language: 'en', locale: 'en', languages: {}, units: 'm', currency: 'GBP', minor_digits: 2 };
let texts = {};

export const readWords = (file) =>
	Object.fromEntries(file.trim().replaceAll('\n\t', ' ').split('\n').map((line) => line.split(/ = (.*)/)));

/* English is the page's own; `page` of /v1/language lies over it, and what it leaves out stays English. */
export function speakAs({ language, languages, page }, english) {
	texts = { ...readWords(english), ...page };
	Object.assign(local, { language, languages,
		locale: navigator.languages.find((tag) => tag.startsWith(language)) ?? language });
	document.documentElement.lang = language;
}

export const textFor = (key) => texts[key];
export const say = (key, values) => (texts[key] ?? key).replace(/\{(\w+)\}/g, (_, name) => values[name] ?? '');
export const pair = (name, value) => say('pair', { name, value });
export const sayAll = (key) => say(key).split('; ');
export const unitName = (unit) => texts[`u:${unit}`] ?? unit;

const formatters = {}; /* they cost more to make than to use */

function format(kind, options, value) {
	const key = local.locale + JSON.stringify(options);
	formatters[key] ??= new kind(local.locale, options);
	return formatters[key].format(value);
}

const digits = (value, options) => format(Intl.NumberFormat, options, value);
export const number = (value, most = 2) => digits(value, { maximumFractionDigits: most });
export const figure = (value) => digits(value, { maximumSignificantDigits: Math.abs(value) >= 1000 ? 4 : 3 });
export const percent = (share) => digits(share, { style: 'percent', maximumFractionDigits: 1 });
const typedNumber = (value) => digits(value, { maximumFractionDigits: 6, useGrouping: false });
export const length = (metres) => (local.units === 'ft' ? feetAndInches(metres) : `${number(metres)}\u00a0m`);
export const area = (m2) => (local.units === 'ft' ? `${figure(m2 / 0.09290304)}\u00a0ft²` : `${figure(m2)}\u00a0m²`);

export function amount(minor, exact) {
	const places = exact ? local.minor_digits : 0;
	return digits(minor / 10 ** local.minor_digits, { style: 'currency', currency: local.currency,
		currencyDisplay: 'narrowSymbol', minimumFractionDigits: places, maximumFractionDigits: places });
}

/* As one says an estimate: 4,650; 12,500. */
export function roundAmount(minor) {
	const whole = Math.abs(minor) / 10 ** local.minor_digits;
	const step = Math.max(1, 10 ** (`${Math.round(whole)}`.length - 2) / 2) * 10 ** local.minor_digits;
	return amount(Math.round(minor / step) * step);
}

const date = (iso, options) => format(Intl.DateTimeFormat, { timeZone: 'UTC', ...options }, new Date(iso));
export const day = (iso) => date(iso, { day: 'numeric', month: 'long', year: 'numeric' });
export const shortDay = (iso) => date(iso, { day: 'numeric', month: 'short' });

/* ---- lengths as people type them: '6', '6,5', '6 m', '1m50', '650 cm', '20ft', "14'6", `5' 6 1/2"` ---- */

const metresOf = { mm: 0.001, cm: 0.01, km: 1000, m: 1, ft: 0.3048, in: 0.0254 };
const isImperial = (unit) => unit === 'ft' || unit === 'in';
const spellings = [[/[′’‘`´]/g, "'"], [/[″”“]|''/g, '"'], [/½/g, ' 1/2'], [/¼/g, ' 1/4'], [/¾/g, ' 3/4'],
	[/(\d),(\d)/g, '$1.$2'], [/\s+/g, ' '], [/m[eè]t(re|er)s?/g, 'm'], [/([ckm])\w+[io](?=m)/g, '$1'],
	[/feet|foot|pieds?|pi|'/g, 'ft'], [/inch(es)?|pouces?|po|"/g, 'in']];
const plain = (text) => spellings.reduce((all, [spelt, short]) => all.replace(spelt, short), text.toLowerCase()).trim();

function unitAfter(before, figures, unit) {
	return before === 'ft' ? 'in' : before === 'm' && figures.length === 2 ? 'cm' : before ? null : unit;
}

/* Metres, or null for what can't be read. A bare number is in `unit`; 14'6 has inches, 1m50 centimetres. */
export function readLength(text, unit) {
	const clean = plain(text);
	let [sum, end, before] = [0, 0, null];

	for (const [piece, figures, own] of clean.matchAll(/((?:\d+ )?\d+\/\d+|\d+\.?\d*|\.\d+) ?([a-z]*) ?/gy)) {
		const spelt = own || unitAfter(before, figures, piece === clean && unit);
		if (!metresOf[spelt] ||
			(before && (metresOf[spelt] >= metresOf[before] || isImperial(spelt) !== isImperial(before))))
			return null;
		for (const part of figures.split(' ')) {
			const [top, bottom = 1] = part.split('/');
			sum += (top / bottom) * metresOf[spelt];
		}
		end += piece.length;
		before = spelt;
	}
	return before && end === clean.length && Number.isFinite(sum) ? Math.round(sum * 1e4) / 1e4 : null;
}

function readNumber(text) {
	const clean = plain(text).replace(/ (?=\d{3}\b)| ?%$/g, '').replace(',', '.');
	return /^-?(\d+\.?\d*|\.\d+)$/.test(clean) ? Number(clean) : null;
}

function feetAndInches(metres) {
	const inches = Math.round(metres / metresOf.in);
	return [[Math.trunc(inches / 12), '′'], [inches % 12, '″']].filter(([count]) => count).map((part) => part.join(''))
		.join(' ') || '0″';
}

/* ---- an object addressed by JSON pointers ---- */

export const store = { fields: new Map(), problems: new Map(), unreadable: new Set(), quote: null };

/* Their presence says something, even with nothing in them. */
const things = ['/old_pond', '/stream', '/water/kept_pump', '/pond', '/pond/outline', '/old_pond/outline'];
const isThing = (value) => value?.constructor === Object;

const lastName = (pointer) => pointer.slice(pointer.lastIndexOf('/') + 1);
export const get = (object, pointer) => pointer.split('/').slice(1).reduce((value, name) => value?.[name], object);
export const given = (pointer) => get(store.state.enquiry, pointer);

/* Undefined takes a member away, and what is left with nothing in it. */
export function set(object, pointer, value) {
	const [, above, name] = pointer.match(/(.*)\/(.*)/);
	const holder = get(object, above);

	if (value !== undefined)
		(isThing(holder) ? holder : set(object, above, {}))[name] = value;
	else if (isThing(holder)) {
		delete holder[name];
		if (above && Object.keys(holder).length === 0 && !things.includes(above))
			set(object, above);
	}
	return value;
}

/* What is empty is left out: the address stands on paper too. */
export const writeAddress = (state) => btoa(JSON.stringify(Object.fromEntries(Object.entries(state)
	.filter(([, value]) => JSON.stringify(value ?? '').length > 2))).replace(/[^ -~]/g, (letter) =>
	`\\u${letter.charCodeAt(0).toString(16).padStart(4, '0')}`)).replaceAll('+', '-').replaceAll('/', '_')
	.replaceAll('=', '');

/* Anyone can write an address. */
export function readAddress(fragment) {
	let read = {};
	try {
		read = JSON.parse(atob(fragment.slice(1).replaceAll('-', '+').replaceAll('_', '/')));
	} catch {
		/* none of ours */
	}
	const { enquiry, typed, unsure, units, pinned, reference } = read ?? {};
	return { enquiry: isThing(enquiry) ? enquiry : undefined, typed: isThing(typed) ? typed : {},
		unsure: Array.isArray(unsure) ? unsure : [], units, pinned, reference };
}

/* The box round an outline; y goes up. */
export function boxOf({ points_m: points, diameter_m: across, length_m: wide = across, width_m: high = across }) {
	if (!points)
		return { left: 0, top: high, wide, high };
	const [left, bottom] = [0, 1].map((axis) => Math.min(...points.map((point) => point[axis])));
	const [right, top] = [0, 1].map((axis) => Math.max(...points.map((point) => point[axis])));
	return { left, top, wide: right - left, high: top - bottom };
}

/* ---- its fields, as the service lists them ---- */

/* '/stream/cascades/0/width_m' is of '/stream/cascades'. */
export function fieldOf(pointer) {
	return store.fields.get(pointer) ?? (pointer ? fieldOf(pointer.slice(0, pointer.lastIndexOf('/'))) : undefined);
}

const childrenOf = (above) =>
	[...store.fields.values()].filter(({ pointer }) => pointer === `${above}/${lastName(pointer)}`);
const isLength = ({ unit, kind }) => unit === 'm' && kind === 'number';

/* ---- their names; text of a value and value of a text ---- */

export const fieldLabel = (pointer) =>
	textFor(`f:${pointer}`) ?? fieldOf(pointer)?.help?.split(/ ?[;:] /)[0] ?? pointer;

export const wordTitle = ({ pointer, of = lastName(pointer) }, word) => textFor(`w:${of}.${word}`) ??
	store.region?.words[pointer]?.find((row) => row.word === word)?.title ?? textFor(`w:${word}`) ??
	`${word}`.replaceAll('-', ' ');

const isTall = ({ kind }) => kind === 'list' || kind === 'tally';
const rowsOf = (value) => (!Array.isArray(value) ? Object.entries(value) : typeof value[0] === 'object' ? value
	: [value]);
const cellText = (cell) => (typeof cell === 'number' ? typedNumber(cell) : cell);

function textOf(field, value) {
	if (value === undefined)
		return '';
	if (value === 'unknown')
		return say('w:unknown');
	if (typeof value === 'object')
		return rowsOf(value).map((row) => Object.values(row).map(cellText).join(' ')).join('\n');
	return isLength(field) && local.units === 'ft' ? feetAndInches(value)
		: typedNumber(field.unit === 'share' ? value * 100 : value);
}

/* Null for what can't be read; what is wrong in a list the service says. */
function valueOf(field, text) {
	const { kind, columns, unit } = field;
	if (text.trim() === '')
		return undefined;
	if (field.may_be_unknown && text.trim() === say('w:unknown'))
		return 'unknown';
	if (isLength(field))
		return readLength(text, local.units);
	if (kind === 'number') {
		const value = readNumber(text);
		return value && unit === 'share' ? value / 100 : value;
	}
	const rows = text.trim().split('\n')
		.map((line) => line.trim().split(/[\s:;]+/).map((cell) => readNumber(cell) ?? cell));
	return kind === 'pair' ? rows[0] : kind === 'tally' ? Object.fromEntries(rows)
		: columns[0].name ? rows.map((row) => Object.fromEntries(row.map((cell, i) => [columns[i]?.name ?? i, cell])))
			: rows;
}

export function valueText(pointer, value) {
	const field = store.fields.get(pointer) ?? { pointer };
	if (Array.isArray(value) && field.kind === 'set')
		return value.map((word) => wordTitle(field, word)).join(', ') || say('w:none-of-these');
	if (isThing(value))
		return Object.entries(value)
			.map(([name, part]) => `${name === 'kind' ? '' : textFor(`s:${name}`) ?? name} ` +
				valueText(`${pointer}/${name}`, part)).join(', ');
	if (typeof value !== 'number')
		return wordTitle(field, value);
	return isLength(field) ? length(value) : `${textOf(field, value)} ${unitName(field.unit ?? '')}`;
}

/* ---- controls: each kind gives { input, show }; show may give a hint ---- */

let count = 0;
const alive = new Set();

function textControl(field, id) {
	const { pointer, kind } = field;
	const { state } = store;
	const input = h(isTall(field) ? 'textarea' : 'input', {
		id, type: !isTall(field) && 'text', rows: isTall(field) && 3, autocomplete: 'off', spellcheck: 'false',
			autocapitalize: 'off',
		inputmode: kind === 'number' && !isLength(field) && 'decimal',
		input() {
			const value = valueOf(field, input.value);
			state.typed[pointer] = value === null || textOf(field, value) !== input.value ? input.value : undefined;
			store.give(pointer, value ?? undefined, value === null);
		},
	});
	return { input, show(value) {
		if (document.activeElement !== input)
			input.value = state.typed[pointer] ?? textOf(field, value);
		const isForeign = local.units === 'ft' || /['"′″’”fip]/i.test(input.value);
		return isLength(field) && typeof value === 'number' && isForeign &&
			say('in-metres', { value: typedNumber(Math.round(value * 100) / 100) });
	} };
}

function pickControl({ pointer, words, left_out: leftOut }, id) {
	const chosen = () => words?.find((word) => `${word}` === input.value) ?? (input.value || undefined);
	const change = () => store.give(pointer, chosen());
	const input = words ? h('select', { id, change }) : h('input', { id, change, type: 'date' });
	let offered = null; /* whose words */
	return { input, show(value) {
		if (words && offered !== store.region)
			fill(input, [['', say(`blank-${leftOut}`)], ...titlesOf(pointer)].map(([word, title]) =>
				h('option', { value: `${word}` }, title)));
		offered = store.region;
		input.value = value ?? '';
	} };
}

/* Boxes to tick; 'none of these' is the empty set, and goes with nothing else. */
function setControl({ pointer }, id) {
	const none = 'none-of-these';
	const boxes = [...titlesOf(pointer), [none, say(`w:${none}`)]].map(([value, title]) =>
		[title, h('input', { type: 'checkbox', value, change() {
			const ticked = boxes.map(([, box]) => box)
				.filter((box) => box.checked && (box.value === none) === (value === none));
			store.give(pointer, ticked.length === 0 ? undefined : value === none ? [] : ticked.map((box) => box.value));
		} })]);
	return { input: h('div.checks', { id, role: 'group' }, boxes.map(([title, box]) => h('label.check', box, title))),
		show(value) {
		const held = value?.length === 0 ? [none] : [value].flat();
		boxes.forEach(([, box]) => (box.checked = held.includes(box.value)));
	} };
}

function titlesOf(pointer) {
	const field = store.fields.get(pointer);
	return field.words.map((word) => {
		const title = wordTitle(field, word);
		return [word, title.charAt(0).toUpperCase() + title.slice(1)];
	});
}

const makers = { choice: pickControl, date: pickControl, set: setControl };

function shown(pointer, node, refresh) {
	alive.add({ pointer, node, refresh });
	refresh();
	return node;
}

export function refreshControls() {
	for (const one of alive)
		if (one.node.isConnected)
			one.refresh();
		else
			alive.delete(one);
}

export const hasControl = (at) =>
	[...alive].some(({ pointer, node }) => pointer === at && node.isConnected && node.matches('.field'));

const problemsOf = (at) => [...store.problems].filter(([pointer]) => pointer === at ||
	(pointer.startsWith(`${at}/`) && !hasControl(pointer))).flatMap(([, said]) => said).join(' ');

export function control(pointer, labelText = fieldLabel(pointer), id = `c${++count}`) {
	const field = store.fields.get(pointer);
	const { kind, columns, words } = field;
	const { input, show } = (makers[kind] ?? textControl)(field, id);
	const single = kind !== 'set';
	const unit = h('span.unit');
	const label = h(single ? 'label' : 'span', { for: single && id, id: `${id}-label` }, labelText, unit);
	const [hint, error] = ['hint', 'error'].map((part) => h(`p.${part}`, { id: `${id}-${part}` }));
	const names = columns?.map(({ name, help }) => textFor(`m:${name}`) ?? help).join(', ');
	const usualHint = names ? say('one-a-line', { names })
		: [textFor(`hint-${kind}`), kind === 'tally' && `(${words.join(', ')})`].filter(Boolean).join(' ');

	input.setAttribute('aria-describedby', `${hint.id} ${error.id}`);
	if (!single)
		input.setAttribute('aria-labelledby', label.id);
	return shown(pointer, h(`div.field.${kind}`, label, input, hint, error), () => {
		hint.textContent = show(given(pointer)) || usualHint;
		unit.textContent = makers[kind] ? '' : ` ${isLength(field) ? local.units : unitName(field.unit ?? '')}`;
		error.textContent = problemsOf(pointer);
		if (single)
			input.setAttribute('aria-invalid', error.textContent !== '');
	});
}

/* ---- the outline: a shape with its measures, or corners on a grid ---- */

const measures = { ellipse: ['length_m', 'width_m'], rectangle: ['length_m', 'width_m', 'corner_radius_m'],
	circle: ['diameter_m'], stadium: ['length_m', 'width_m'], polygon: [] };
const pictures = {
	ellipse: 'M3 13a17 10 0 0 1 34 0a17 10 0 0 1 -34 0Z', rectangle: 'M3 3H37V23H3Z',
	circle: 'M9 13a11 11 0 0 1 22 0a11 11 0 0 1 -22 0Z', stadium: 'M12 4H28a9 9 0 0 1 0 18H12a9 9 0 0 1 0 -18Z',
	polygon: 'M4 12 12 3 24 8 36 4 37 18 22 23 8 21Z', vertical: 'M3 6V22H37V6',
		battered: 'M3 6L10 14H14L18 22H28L37 6',
	dish: 'M3 6Q20 40 37 6', stepped: 'M3 6V12H11V17H17V22H37V6',
};
const picture = (word) => pictures[word] &&
	h('svg.shape', { viewBox: '0 0 40 26', 'aria-hidden': 'true' }, h('path', { d: pictures[word] }));
const corners_most = 200;
const onGrid = (metres) => Math.round(metres * 10) / 10;

/* Another shape keeps the measures that both have; a drawn one starts as an oval of eight corners. */
function changeShape(base, kind) {
	const { wide, high } = boxOf(given(base) ?? {});
	const oval = (i) => [(wide ?? 4) * (1 - Math.cos(i * eighth)) / 2, (high ?? 3) * (1 - Math.sin(i * eighth)) / 2];
	const eighth = Math.PI / 4;

	for (const at of Object.keys(store.state.typed))
		if (at.startsWith(base) && !measures[kind].includes(lastName(at)))
			delete store.state.typed[at];
	set(store.state.enquiry, base, kind === 'polygon'
		? { kind, points_m: [...Array(8).keys()].map((i) => oval(i).map(onGrid)) }
		: kind === 'circle' ? { kind, diameter_m: wide } : { kind, length_m: wide, width_m: high });
	store.give(`${base}/kind`, kind);
}

function board(pointer) {
	const points = () => given(pointer) ?? [];
	let [chosen, dragging, view] = [0, false, null]; /* view: the ground that is seen, null to fit it anew */

	function give(next, index) {
		const focused = sheet.contains(document.activeElement);
		chosen = index;
		if (!dragging)
			view = null;
		store.give(pointer, next);
		draw();
		if (focused)
			corners()[chosen].focus();
	}

	const place = (point) => give(points().with(chosen, point.map(onGrid)), chosen);

	function add() {
		const now = points();
		const after = now[(chosen + 1) % now.length];
		if (now.length < corners_most)
			give(now.toSpliced(chosen + 1, 0, now[chosen].map((v, axis) => (v + after[axis]) / 2)), chosen + 1);
	}

	function remove() {
		if (points().length > 3)
			give(points().toSpliced(chosen, 1), Math.min(chosen, points().length - 2));
	}

	function keydown(event) {
		const [x, y] = points()[chosen];
		const far = event.shiftKey ? 1 : 0.1;
		const to = { ArrowLeft: [x - far, y], ArrowRight: [x + far, y], ArrowUp: [x, y + far],
			ArrowDown: [x, y - far] }[event.key];
		const act = to ? () => place(to) : { Insert: add, Delete: remove }[event.key];
		if (act) {
			event.preventDefault();
			act();
		}
	}

	function placeAt({ clientX, clientY }) {
		const box = sheet.getBoundingClientRect();
		place([view.left + (clientX - box.left) / box.width * view.wide,
			view.top - (clientY - box.top) / box.height * view.high]);
	}

	function choose({ target }) {
		const index = corners().indexOf(target);
		chosen = index < 0 ? Math.min(chosen, corners().length - 1) : index;
		corners().forEach((corner, i) => corner.classList.toggle('chosen', i === chosen));
	}

	const isCorner = ({ target }) => target.matches('.corner');
	const ground = h('svg', { preserveAspectRatio: 'none' });
	const sheet = h('svg', { role: 'group', 'aria-label': say('draw-board'), keydown, focusin: choose,
		pointerdown(event) {
			dragging = isCorner(event);
			if (dragging) {
				choose(event);
				event.target.setPointerCapture(event.pointerId);
			}
		},
		pointermove: (event) => dragging && placeAt(event),
		lostpointercapture() {
			dragging = false;
			view = null;
			draw();
		},
		click: (event) => isCorner(event) || placeAt(event) }, ground);
	const corners = () => [...sheet.querySelectorAll('.corner')];
	const said = h('p.measure', { 'aria-live': 'polite' });

	/* As large as it takes for neighbours not to lie on one another; a board wider than its place is scrolled. */
	function fit(ring) {
		const { left, top, wide, high } = boxOf({ points_m: ring });
		const span = Math.max(wide, high * 1.4, 1) * 1.3;
		const apart = Math.min(...ring.flatMap(([x, y], i) => ring.slice(i + 1)
			.map((other) => Math.hypot(x - other[0], y - other[1]))));
		view = { left: left + (wide - span) / 2, top: top + (span / 1.4 - high) / 2, wide: span, high: span / 1.4 };
		sheet.setAttribute('width', Math.ceil(Math.min(2000, 30 / Math.max(apart, 0.1) * span)));
	}

	function draw() {
		const ring = points();
		if (ring.length < 3)
			return;
		if (!view)
			fit(ring);
		const { left, top, wide, high } = view;
		const step = wide > 40 ? 10 : wide > 16 ? 2 : 1;
		const [firstX, firstY] = [left, -top].map((start) => Math.ceil(start / step) * step);
		const problem = problemsOf(pointer);
		ground.setAttribute('viewBox', `${left} ${-top} ${wide} ${high}`);
		fill(ground, h('path.grid', { d: [...Array(Math.ceil(wide / step)).keys()].map((i) => i * step).map((metres) =>
			`M${firstX + metres} ${-top}v${high}M${left} ${firstY + metres}h${wide}`).join('') }),
		h(`polygon.pond${problem && '.crossed'}`, { points: ring.map(([x, y]) => [x, -y]) }));
		if (corners().length !== ring.length)
			fill(sheet, ground, ring.map(() => h('circle.corner', { r: 14, tabindex: 0, role: 'button' })));
		ring.forEach(([x, y], i) => {
			const label = say('corner', { n: i + 1, of: ring.length, x: length(x), y: length(y) });
			const at = { cx: `${(x - left) / wide * 100}%`, cy: `${(top - y) / high * 100}%`, 'aria-label': label };
			Object.entries(at).forEach((pair) => corners()[i].setAttribute(...pair));
		});
		choose({ target: corners()[chosen] });
		const box = boxOf({ points_m: ring });
		const double_m2 = ring.reduce((sum, [x, y], i) => sum + x * ring.at(i - 1)[1] - y * ring.at(i - 1)[0], 0);
		said.textContent = problem || say('drawn-measures', { length: length(box.wide), width: length(box.high),
			area: area(Math.abs(double_m2) / 2) });
	}

	return shown(pointer, h('div.field.drawn', h('p.hint', say('draw-how')), h('div.board', sheet),
		h('div.asides', button(say('add-corner'), add), button(say('remove-corner'), remove)), said), draw);
}

function outlineControl(base) {
	const parts = h('div.measures');
	let drawnFor = null;

	const inputs = Object.keys(measures).map((value) =>
		h('input', { type: 'radio', name: base, value, change: () => changeShape(base, value) }));
	const choices = inputs.map((input, i) => h('label', input, picture(input.value),
		h('span', sayAll('shapes')[i])));
	return shown(base, h('fieldset.outline', h('legend', say('what-shape')), h('div.shapes', choices), parts), () => {
		const kind = given(`${base}/kind`) ?? 'ellipse';
		for (const input of inputs)
			input.checked = input.value === kind;
		if (kind !== drawnFor)
			fill(parts, kind === 'polygon' ? board(`${base}/points_m`)
				: measures[kind].map((measure) => control(`${base}/${measure}`, say(`m:${measure}`))));
		drawnFor = kind;
	});
}

/* ---- the first three, and everything ---- */

const optional = ['/old_pond', '/stream', '/water/kept_pump', '/old_pond/outline', '/old_pond/profile'];
const askedFirst = ['/region', '/pond/outline', '/pond/depth_m'];

export function firstQuestions() {
	const inputs = ['m', 'ft'].map((value) =>
		h('input', { type: 'radio', name: 'units', value, change: () => store.changeUnits(value) }));
	const units = h('fieldset.units', h('legend', say('lengths')), inputs.map((input, i) =>
		h('label', input, sayAll('units')[i])), h('p.hint', say('lengths-how')));
	return [control('/region', say('where')), outlineControl('/pond/outline'),
		control('/pond/depth_m', say('how-deep')),
		shown('', units, () => inputs.forEach((input) => (input.checked = input.value === local.units)))];
}

function thing(pointer, children) {
	const box = h('input', { type: 'checkbox', change: () => store.give(pointer, box.checked ? {} : undefined) });
	const inside = h('div.fields', children);
	return shown(pointer, h('div.thing', h('label.check', box, sayAll('has')[optional.indexOf(pointer)]), inside),
		() => {
		box.checked = Boolean(given(pointer));
		inside.hidden = !box.checked;
	});
}

function controlsOf(above) {
	const children = above.endsWith('/outline') ? outlineControl(above)
		: childrenOf(above).filter(({ pointer, kind }) => !askedFirst.includes(pointer) && (above || kind !== 'object'))
			.map(({ pointer, kind }) => (kind === 'object' ? controlsOf(pointer) : control(pointer)));
	return optional.includes(above) ? thing(above, children) : children;
}

/* Groups are filled when they are first opened. */
export const allFields = (open) => [{ pointer: '' }, ...childrenOf('').filter(({ kind }) => kind === 'object')]
	.map(({ pointer }, i) => {
		const inside = h('div.fields');
		const make = () => node.open && inside.childElementCount === 0 && fill(inside, controlsOf(pointer));
		const node = h('details.group', { open: open && pointer !== '/facts', toggle: make },
			h('summary', sayAll('groups')[i]), inside);
		make();
		return node;
	});

/* ---- the next question ---- */

const wishes = ['/planting/style', '/old_pond', '/stream'];
/* Asked by the kind of bed, then by its measures. */
export const asked = (pointer) => (pointer === '/pond/profile' ? '/pond/profile/kind' : pointer);

/* First what only the customer can wish, then what moves the price most or was assumed, then what permissions ask. */
export function nextQuestion() {
	const { state, quote: { range, screen, assumed } } = store;
	const isOpen = (pointer) => given(pointer) === undefined && !state.unsure.includes(pointer);
	const can = (row) => store.fields.has(asked(row.pointer)) && !state.unsure.includes(asked(row.pointer));
	const openNow = (row) => can(row) && isOpen(asked(row.pointer));
	const wish = wishes.find(isOpen);

	if (wish && !(store.desk && range?.ask_next.length > 0))
		return { pointer: wish };
	const found = (range ? range.ask_next.find(openNow)
		: assumed.toSorted((a, b) => (a.where === 'visit') - (b.where === 'visit')).find(can)) ??
		screen?.still_to_ask.find(openNow);
	return found && { ...found, pointer: asked(found.pointer) };
}

function questionText({ pointer, question, because }) {
	const known = store.region?.questions?.find((row) => row.pointer === pointer);
	return [textFor(`q:${pointer}`) ?? question ?? known?.question ?? fieldLabel(pointer),
		textFor(`y:${pointer}`) ?? known?.why ?? because];
}

const answers = (rows) => h('div.answers', { role: 'group' }, rows.map(([title, click, word]) =>
	h('button.answer', { type: 'button', click }, picture(word), h('span', title))));

function thingAnswers(pointer, done) {
	const more = h('div.fields', { hidden: true });
	const yes = () => {
		store.give(pointer, {});
		const own = childrenOf(pointer)
			.filter((field) => field.left_out === 'must' || field.pointer === '/old_pond/shell');
		fill(more, own.map((field) => control(field.pointer)), button(say('go-on'), () => done(), { class: 'main' }));
		more.hidden = false;
		more.querySelector('input, select').focus();
	};
	return [answers([[say('w:true'), yes], [say('w:false'), () => done('no')]]), more];
}

function answersOf({ pointer, value }, done) {
	const giveIt = (at, answer) => () => {
		store.give(at, answer);
		done();
	};
	if (pointer === '/edge')
		return answers(['coping_m', 'beach_m', 'turf_m'].map((name, i) =>
			[sayAll('edges')[i], giveIt(`/edge/${name}`,
				Math.round(((given(`/edge/${name}`) ?? 0) + value) * 100) / 100)]));
	const { kind } = store.fields.get(pointer);
	if (kind === 'object')
		return thingAnswers(pointer, done);
	if (kind === 'choice')
		return answers(titlesOf(pointer).filter(([word]) => word !== 'unknown').map(([word, title]) =>
			[title, giveIt(pointer, word), word]));
	return h('div.typed-answer', control(pointer), button(say('go-on'), () => done(), { class: 'main' }));
}

/* done('no') and done('unsure') set the question aside. */
export function questionCard(question, done, back) {
	const { low_minor: low, high_minor: high, where } = question;
	const [ask, why] = questionText(question);
	return [heading(ask),
		h('p', why, high > low && ` ${say('moves', { low: roundAmount(low), high: roundAmount(high) })}`,
		where === 'visit' && ` ${say('on-visit')}`), answersOf(question, done),
	h('div.asides', button(say('not-sure'), () => done('unsure')), back && button(say('back'), back))];
}
