/* What the service answered, as drawings, charts and words. Every drawing is made for a width in pixels, so that its
 * words stay readable on a small screen; each function below the drawings gives the children of one part of the page. */
import { amount, area, button, day, english, fieldLabel, fieldOf, figure, get, h, hasText, heading, length, number, percent, ringBox, ringOf, roundAmount, s, say,
	shortDay, theirs, unitName, wordTitle } from './basics.js';
import { asked, control, valueText } from './form.js';

/* ---- the bed in a cut: points (inset, depth) from the water line to the greatest inset ---- */

/* Height of a line of points at x; beyond its end the last height, before its start the first. */
function along(points, x) {
	const after = points.findIndex(([at]) => at >= x);
	if (after <= 0)
		return points.at(after)?.[1] ?? 0;
	const [a, b] = [points[after - 1], points[after]];
	return a[1] + ((x - a[0]) / (b[0] - a[0] || 1)) * (b[1] - a[1]);
}

/* A bed that asks for more inset than there is bottoms out. */
function bedOf(profile, depth_m, inset_m) {
	const { kind, side_slope: slope = 1, shelf_width_m: width = 0, shelf_depth_m: shelf = 0, steps = [] } = profile;
	const bed = {
		vertical: () => [[0, 0], [0, depth_m]],
		dish: () => Array.from({ length: 17 }, (_, i) => [inset_m * (i / 16), depth_m * (1 - (1 - i / 16) ** 2)]),
		stepped: () => steps.map((step) => [step.inset_m, step.depth_m]),
	}[kind]?.() ?? (width > 0 && shelf < depth_m ? [[0, 0], [slope * shelf, shelf], [slope * shelf + width, shelf], [slope * depth_m + width, depth_m]]
		: [[0, 0], [slope * depth_m, depth_m]]);
	const kept = bed.filter(([inset]) => inset <= inset_m + 1e-9);
	return kept.at(-1)?.[0] >= inset_m ? kept : [...kept, [inset_m, along(bed, inset_m)]];
}

/* ---- parts of a drawing ---- */

const round = (value) => Math.round(value * 10) / 10;
const text = (x, y, words, anchor) => s('text', { x: round(x), y: round(y), 'text-anchor': anchor }, words);
const path = (kind, d, attributes) => s(`path.${kind}`, { d: d.replace(/-?\d+\.\d+/g, (value) => round(Number(value))), ...attributes });
const join = (points) => `M${points.map((point) => point.map(round).join(' ')).join('L')}`;
const shade = (depth, deepest) => `deep${Math.min(5, Math.floor((depth / (deepest || 1)) * 5.99))}`;

function svg(kind, width, height, label, ...children) {
	return s(`svg.drawing.${kind}`, { viewBox: `0 0 ${round(width)} ${round(height)}`, width: round(width), height: round(height), role: 'img', 'aria-label': label }, ...children);
}

/* A measure along a line with a tick at both ends. */
function measure(x1, y1, x2, y2, words = length(Math.abs(x2 - x1))) {
	return Math.abs(x2 - x1) < 1 ? [path('dimension', `M${x1 - 4} ${y1}h8M${x1} ${y1}V${y2}M${x1 - 4} ${y2}h8`), text(x1 + 7, (y1 + y2) / 2 + 4, words)]
		: [path('dimension', `M${x1} ${y1 - 4}v8M${x1} ${y1}H${x2}M${x2} ${y1 - 4}v8`), text((x1 + x2) / 2, y1 - 5, words, 'middle')];
}

const roundUp = (least, steps) => {
	const power = 10 ** Math.floor(Math.log10(least));
	return steps.map((n) => n * power).find((step) => step >= least);
};

/* A step of 1, 2 or 5 times a power of ten that takes some 70 pixels. */
function scaleBar(x, y, pixelsPerMetre) {
	const step = roundUp(60 / pixelsPerMetre, [1, 2, 5, 10]);
	return [path('scale', `M${x} ${y - 4}v4h${step * pixelsPerMetre}v-4`), text(x + step * pixelsPerMetre + 6, y + 1, length(step))];
}

/* ---- the pond ---- */

let clips = 0;

/* From above. Bands of equal inset need no geometry: a stroke twice as wide as the inset, clipped to the inside,
 * covers exactly what lies within that distance of the edge. */
function plan({ outline, bed, deepest_m: deepest, surface_m2: surface }, width) {
	const ring = ringOf(outline);
	const { left, top, wide, high } = ringBox(ring);
	const scale = Math.min((width - 70) / wide, 300 / high);
	const start = (width - 60 - wide * scale) / 2 + 4;
	const end = start + wide * scale;
	const bottom = 26 + high * scale;
	const d = `${join(ring.map(([x, y]) => [start + (x - left) * scale, 26 + (top - y) * scale]))}Z`;
	const id = `clip${++clips}`;
	const bands = bed.slice(1).map(([inset, depth], i) => [inset, (depth + bed[i][1]) / 2, inset > bed[i][0]]).filter((band) => band[2]).reverse();

	return svg('plan', width, bottom + 40, say('plan-said', { length: length(wide), width: length(high), area: area(surface) }),
		s('clipPath', { id }, s('path', { d })), path('floor', d),
		s('g', { 'clip-path': `url(#${id})` }, bands.map(([inset, depth]) => path(`band.${shade(depth, deepest)}`, d, { 'stroke-width': 2 * inset * scale }))),
		path('water-line', d), measure(start, 16, end, 16, length(wide)), measure(end + 12, 26, end + 12, bottom, length(high)), scaleBar(start, bottom + 26, scale));
}

/* The cut through the widest circle that fits inside: there the bed is the profile and its mirror image. */
function section({ bed, deepest_m: deepest, shell_m: shell, freeboard_m: rim, above_ground_m: raised }, width) {
	const half = bed.at(-1)[0];
	const below = deepest + shell + 0.15;
	const scale = Math.min((width - 40) / (2 * half + 1.2), 260 / (below + rim + 0.2));
	const middle = width / 2;
	const water = 40 + rim * scale;
	const ground = water - (rim - raised) * scale;
	const at = (sideways) => ([inset, depth]) => [middle + sideways * (half - inset) * scale, water + depth * scale];
	const line = [...bed.map(at(-1)), ...bed.toReversed().map(at(1))];
	const [left, right] = [line[0][0], line.at(-1)[0]];
	const rims = join([[left, water - rim * scale], ...line, [right, water - rim * scale]]);
	const bottom = water + below * scale;
	const deepX = middle + 0.2 * half * scale;

	return svg('section', width, bottom + 36, say('section-said', { across: length(2 * half), depth: length(deepest), rim: length(rim) }),
		path('ground', `M0 ${ground}H${width}V${bottom}H0Z`), path('hole', `${join([[left, Math.min(ground, water) - 1], ...line, [right, Math.min(ground, water) - 1]])}Z`),
		path('shell', rims, { 'stroke-width': Math.max(2, shell * scale * 2) }), path('water', `${join(line)}Z`), path('shell-face', rims),
		path('ground-line', `M0 ${ground}H${left}M${right} ${ground}H${width}`), path('water-line', `M${left} ${water}H${right}`),
		path('mark', `M${middle - 0.6 * half * scale} ${water}l-5 -8h10Z`), measure(left, 20, right, 20, length(2 * half)),
		measure(deepX, water, deepX, water + along(bed, 0.8 * half) * scale, length(along(bed, 0.8 * half))), scaleBar(8, bottom + 22, scale));
}

/* What is said of the shelf, or nothing. */
function shelfNote({ bed, deepest_m: deepest }) {
	const at = bed.findIndex(([, depth], i) => i > 0 && depth > 0 && depth < deepest && depth === bed[i - 1][1]);
	return at > 0 ? say('shelf-note', { width: length(bed[at][0] - bed[at - 1][0]), depth: length(bed[at][1]) }) : '';
}

/* The shell enlarged, from the water down to the ground; a sheet is drawn thicker than it is, and the words say what is true. */
function layers(list, width) {
	let y = 20;
	const rows = list.toReversed().map(({ kind, coats, thickness_mm: thickness = 0 }) => {
		const height = Math.max(16, Math.min(90, thickness * 0.5));
		const words = `${wordTitle({ pointer: '/layer' }, kind)}${coats > 1 ? ` × ${coats}` : ''}${thickness > 0 ? `, ${number(thickness, 1)} mm` : ''}`;
		y += height;
		return { words, drawn: [path(`layer.${kind}`, `M8 ${y - height}h90v${height}h-90Z`), text(106, y - height / 2 + 4, words)] };
	});
	return svg('layers', width, y + 24, rows.map((row) => row.words).join('; '), text(8, 14, say('water-side')), rows.map((row) => row.drawn), text(8, y + 15, say('ground-side')));
}

/* Points (x from the top, height above the pond) of the stream's bed: cascades fall upright, what is left of the fall
 * is spread evenly between them. */
function streamBed({ cascades = [], fall_m: fall, length_m: long }) {
	const parts = cascades.length + 1;
	const slope = Math.max(0, fall - cascades.reduce((sum, cascade) => sum + cascade.drop_m, 0)) / parts;
	let height = fall;

	return [[0, fall], ...cascades.flatMap(({ drop_m: drop }, i) => {
		const x = (long / parts) * (i + 1);
		height -= slope + drop;
		return [[x, height + drop], [x, height]];
	}), [long, Math.max(0, height - slope)]];
}

function streamSide(stream, pond, water, width) {
	const reach = Math.max(1, Math.min(2 * pond.bed.at(-1)[0], stream.length_m * 0.35));
	const scale = (width - 30) / (stream.length_m + reach + 0.6);
	const taller = [1, 2, 5].find((times) => stream.fall_m * scale * times >= 50) ?? 10;
	const up = scale * taller;
	const level = 44 + stream.fall_m * up;
	const points = streamBed(stream).map(([x, height]) => [14 + x * scale, level - height * up]);
	const shifted = (down) => points.map(([x, y]) => [x, y + down]);
	const mouth = 14 + stream.length_m * scale;
	const far = mouth + reach * scale;
	const bottom = level + pond.deepest_m * up + 12;
	const [pumpX, pumpY] = [mouth + (far - mouth) * 0.6, bottom - 21];
	const [, topY] = points[0];
	const lift = water.static_m * up;

	return svg('stream-side', width, bottom + 58, say('stream-said', { length: length(stream.length_m), fall: length(stream.fall_m) }),
		path('ground', `${join(points)}L${mouth} ${level}L${mouth + 6} ${bottom}H${far}V${level}h14V${bottom + 8}H0V${topY}Z`),
		path('water', `M${mouth} ${level}H${far}V${bottom - 2}H${mouth + 8}Z`), path('stream', join(shifted(-2))), path('water-line', `M${mouth} ${level}H${far}`),
		water.duty ? [path('pipe', `M${pumpX} ${pumpY}L${mouth + 8} ${level + 14}L${join(shifted(12).toReversed()).slice(1)}h-6V${topY - 3}h6`),
			path('pump', `M${pumpX - 9} ${pumpY - 7}h18v14h-18Z`), text(8, bottom + 30, say('pump-note', { run: length(water.run_m ?? 0), bore: number(water.bore_mm, 1) }))] : null,
		lift > 0 ? [measure(far + 1, level - lift, far + 1, level, ''), text(far - 4, level - lift - 6, say('lift', { lift: length(water.static_m) }), 'end')] : null,
		measure(14, 22, mouth, 22, length(stream.length_m)), scaleBar(8, bottom + 52, scale), taller > 1 ? text(width - 8, bottom + 52, say('taller', { times: taller }), 'end') : null);
}

/* ---- the range ---- */

function rangeBar([low, likely, high], reach, width) {
	const x = (minor) => 10 + ((minor - reach[0]) / (reach[1] - reach[0] || 1)) * (width - 20);
	return svg('range', width, 58, say('range-said', { low: roundAmount(low), likely: roundAmount(likely), high: roundAmount(high) }),
		s('rect.reach', { x: 10, y: 14, width: width - 20, height: 16, rx: 8 }),
		s('rect.spread', { x: x(low), y: 14, width: Math.max(4, x(high) - x(low)), height: 16, rx: 8 }),
		path('likely', `M${x(likely)} 8v28`), text(Math.max(10, x(low)), 52, roundAmount(low)), text(Math.min(width - 10, x(high)), 52, roundAmount(high), 'end'));
}

/* ---- the programme ---- */

const dayNumber = (iso) => Date.parse(iso) / 86400000;

/* Tasks as bars with their waits; without dates, where something stops the job, their length alone. */
function programme(list) {
	const dated = list.filter((task) => task.from && task.to);
	const first = Math.min(...dated.map((task) => dayNumber(task.from)));
	const last = Math.max(...dated.map((task) => dayNumber(task.to) + (task.wait_days || 0))) + 1;
	const bar = (kind, from, days) => {
		const node = h(`span.bar.${kind}`);
		node.style.left = `${((from - first) / (last - first)) * 100}%`;
		node.style.width = `${Math.max((days / (last - first)) * 100, 0.6)}%`;
		return node;
	};

	return h('ol.programme', list.map(({ id, title, from, to, wait_days: wait, work_days: work = 0 }) => {
		const when = !from || !to ? say('work-days', { days: number(work, 1) }) : from === to ? shortDay(from) : `${shortDay(from)} – ${shortDay(to)}`;
		return h('li', h('span.task', { lang: theirs() }, title ?? id.replaceAll('-', ' ')),
			h('span.track', { 'aria-hidden': 'true' }, from && to ? [bar('work', dayNumber(from), dayNumber(to) - dayNumber(from) + 1),
				wait > 0 ? bar('wait', dayNumber(to) + 1, wait) : null] : null),
			h('span.when', `${when} ${wait >= 0.5 ? say('then-wait', { days: number(wait, 0) }) : ''}`));
	}));
}

/* ---- pump and pipe ---- */

const diamond = (x, y) => `M${x} ${y - 7}l7 7l-7 7l-7 -7Z`;
const ring = (x, y) => `M${x - 4} ${y}a4 4 0 0 1 8 0a4 4 0 0 1 -8 0Z`;

/* The chart and its key: what the pump can do, what the pipe asks for, and the same for the narrowest pipe that would
 * bring enough. The losses of a pipe grow with some 1.85th power of the flow (common practice: friction in smooth pipe
 * with the 1.75th, bends with the square), through the duty point that the service worked out. */
function dutyChart(water, curve, width) {
	const { duty, demand_l_per_h: demand, other_bores: bores = [] } = water;
	const others = bores.filter((bore) => bore.flow_l_per_h > 0 && curve?.at(-1)[0] >= bore.flow_l_per_h);
	const flows = [duty.flow_l_per_h, demand ?? 0, ...others.map((bore) => bore.flow_l_per_h), curve?.at(-1)[0] ?? 0];
	const steps = [1, 2, 2.5, 5, 10];
	const most = { flow: roundUp(Math.max(...flows, 1) * 1.02, steps), head: roundUp(Math.max(curve?.[0][1] ?? 0, duty.head_m, water.static_m, 0.1) * 1.05, steps) };
	const [left, right, top, bottom] = [44, width - 14, 14, 216];
	const x = (flow) => left + (flow / most.flow) * (right - left);
	const y = (head) => bottom - (head / most.head) * (bottom - top);
	const drawn = (kind, points) => (points ? path(kind, join(points.filter(([flow, head]) => flow <= most.flow && head <= most.head).map(([flow, head]) => [x(flow), y(head)]))) : null);
	const flow = figure(duty.flow_l_per_h);
	const pipe = (at, head) => (at > 0 ? Array.from({ length: 41 }, (_, i) => [(most.flow * i) / 40, water.static_m + (head - water.static_m) * ((most.flow * i) / 40 / at) ** 1.85]) : null);
	const wider = water.enough === false && others.find((bore) => bore.enough);
	const key = (kind, d, words) => h('li', s('svg.drawing', { viewBox: '0 0 28 14', width: 28, height: 14, 'aria-hidden': 'true' }, path(kind, d)), words);

	return [svg('duty', width, 260, say('duty-said', { flow, head: number(duty.head_m) }),
		[0, 0.25, 0.5, 0.75, 1].map((part) => [path('grid', `M${left} ${y(part * most.head)}H${right}M${x(part * most.flow)} ${top}V${bottom}`),
			text(left - 6, y(part * most.head) + 4, number(part * most.head, 1), 'end'),
			width > 360 || part % 0.5 === 0 ? text(x(part * most.flow), bottom + 16, number(part * most.flow, 0), part === 1 ? 'end' : 'middle') : null]),
		text(right, 254, say('axis-flow'), 'end'), text(left + 4, top + 10, say('axis-head')), drawn('curve-pump', curve), drawn('curve-system', pipe(duty.flow_l_per_h, duty.head_m)),
		wider ? drawn('curve-other', pipe(wider.flow_l_per_h, along(curve, wider.flow_l_per_h))) : null, demand > 0 ? path('demand', `M${x(demand)} ${top}V${bottom}`) : null,
		others.map((bore) => path('duty-other', ring(x(bore.flow_l_per_h), y(along(curve, bore.flow_l_per_h))))), path('duty-point', diamond(x(duty.flow_l_per_h), y(duty.head_m)))),
	h('ul.key', key('duty-point', diamond(14, 7), say('key-duty')), curve ? key('curve-pump', 'M1 7h26', say('key-pump')) : null,
		key('curve-system', 'M1 7h26', say('key-system', { bore: number(water.bore_mm, 1) })),
		wider ? key('curve-other', 'M1 7h26', say('key-system', { bore: number(wider.bore_mm, 1) })) : null,
		others.length > 0 ? key('duty-other', ring(14, 7), say('key-others')) : null,
		demand > 0 ? key('demand', 'M1 7h26', say('key-demand', { flow: figure(demand) })) : null)];
}

/* ---- the parts of the answer ---- */

const isExact = ({ quote }) => quote.status === 'quote' || Boolean(quote.costing);
const row = (...cells) => h('tr', h('th', { scope: 'row' }, cells[0]), cells.slice(1).map((cell) => (cell?.tagName === 'TD' ? cell : h('td', cell))));
const columns = (titles) => h('tr', titles.map((title) => h('th', { scope: 'col' }, title)));
const table = (label, ...rows) => h('div.scroll', { tabindex: 0, role: 'region', 'aria-label': label }, h('table', rows));
const terms = (kind, rows) => h(`dl.${kind}`, rows.map(([term, text]) => h('div', h('dt', term), h('dd', text))));
const list = (items) => h('ul', items.map((item) => h('li', item)));

/* ---- price ---- */

export function price(store) {
	const { quote, range } = store;
	if (!quote.price)
		return [heading(say('cannot')), list(quote.cannot.map((reason) => english('span', reason.why)))];
	const gross = quote.price.gross_minor ?? quote.price.headline_minor;
	const tax = say(quote.taxes.length > 0 || gross !== quote.price.net_minor ? 'with-tax' : 'no-tax');
	const said = (key, text, ...rest) => [heading(say(key)), h('p.big', text), ...rest];
	if (isExact(store) && !range)
		return said(quote.status, amount(gross, true), h('p', tax));
	if (!range?.gross)
		return said('estimate', say('about', { price: amount(quote.price.headline_minor) }), h('p', `${tax}. ${say('estimate-gloss')}`));
	const { low_minor: low, likely_minor: likely, high_minor: high } = range.gross;
	/* the scale stays while answers come in, so that the bar is seen to narrow */
	const [from, to] = store.reach ?? [Infinity, -Infinity];
	store.reach = [Math.min(from, low - (high - low) * 0.1), Math.max(to, high + (high - low) * 0.1)];
	return said('estimate', say('from-to', { low: roundAmount(low), high: roundAmount(high) }),
		rangeBar([low, likely, high], store.reach, Math.min(520, store.width)),
		h('p', `${say('most-likely', { price: roundAmount(likely) })} ${tax}. ${say('range-gloss')}`));
}

export function stamp({ quote, region }) {
	return [terms('stamp', [['reference', quote.reference], ['issued', day(quote.issued_on)], ['valid', day(quote.valid_until)],
		['edition', `${region?.title ?? quote.region}, ${quote.edition}`]].map(([key, text]) => [say(key), text])),
	quote.invented ? h('p.invented', say('invented')) : null];
}

/* ---- drawings ---- */

/* What counts for a field: given, else assumed, else its fixed value. */
const valueAt = ({ quote, fields }, pointer) => get(quote.enquiry, pointer) ?? quote.assumed.find((one) => one.pointer === pointer)?.value ?? fields.get(pointer)?.usual;

function pondOf(store) {
	const { takeoff, enquiry, assumed: list_ } = store.quote;
	const profile = { ...list_.find((one) => one.pointer === '/pond/profile')?.value, ...enquiry.pond.profile };
	const shell = store.region?.shells?.find((one) => one.id === store.quote.shell)?.layers ?? [];

	for (const name of ['side_slope', 'shelf_width_m', 'shelf_depth_m'])
		profile[name] ??= valueAt(store, `/pond/profile/${name}`);
	return {
		outline: enquiry.pond.outline, bed: bedOf(profile, takeoff.depth_reached_m || enquiry.pond.depth_m, takeoff.inradius_m), shell,
		deepest_m: takeoff.depth_reached_m, surface_m2: takeoff.water_surface_m2, shell_m: shell.reduce((sum, layer) => sum + (layer.thickness_mm ?? 0), 0) / 1000,
		freeboard_m: valueAt(store, '/pond/freeboard_m') ?? 0.1, above_ground_m: valueAt(store, '/pond/water_above_ground_m') ?? 0,
	};
}

export function drawings(store) {
	const { enquiry, takeoff, water: moved } = store.quote;
	const width = Math.min(560, store.width);
	if (!enquiry.pond || !(takeoff.inradius_m > 0) || !ringOf(enquiry.pond.outline))
		return [];
	const pond = pondOf(store);
	const figureOf = (title, drawing) => h('figure', h('figcaption', title), drawing);
	const facts = { water: `${figure(takeoff.water_volume_m3)} m³`, surface: area(takeoff.water_surface_m2), dig: `${figure(takeoff.dig_m3)} m³` };
	return [heading(say('drawings')), h('p', Object.entries(facts).map(([key, text]) => `${say(`d:${key}`)} ${text}`).join(' · ')),
		h('div.figures', figureOf(say('plan'), plan(pond, width)), figureOf(`${say('section')} ${shelfNote(pond)}`, section(pond, width)),
			pond.shell.length > 0 ? figureOf(say('layers'), layers(pond.shell, Math.min(340, width))) : null,
			enquiry.stream ? figureOf(say('stream'), streamSide(enquiry.stream, pond, moved, width)) : null)];
}

/* ---- what to mind ---- */

const signs = { stop: '⬣', check: '▲', ask: '?', note: 'i' };

function flagCard(flag) {
	const rows = { why: flag.why, do: flag.do, whom: flag.authority, season: flag.season, source: flag.source };
	return h('details.flag', { id: `flag-${flag.id}`, open: flag.level === 'stop' }, english('summary', flag.ask ?? flag.title), flag.ask ? english('p', flag.title) : null,
		Object.entries(rows).filter(([, text]) => text).map(([key, text]) => h(`p.flag-${key}`, h('b', `${say(`flag-${key}`)} `), english('span', text))));
}

export function flags({ quote }) {
	const levels = Object.entries(signs).map(([level, sign]) => [level, sign, quote.flags.filter((flag) => flag.level === level)]).filter(([, , found]) => found.length > 0);
	return levels.length === 0 ? [] : [heading(say('flags')), h('p', say('flags-gloss')), levels.map(([level, sign, found]) => h(`div.level.is-${level}`,
		h('h3', h('span.sign', { 'aria-hidden': 'true' }, sign), ` ${say(`level-${level}`)} (${found.length})`), found.map(flagCard)))];
}

export function assumed(store, ask) {
	const answered = ({ pointer: at, value, because }) => {
		const pointer = asked(at);
		const field = store.fields.get(pointer);
		const text = at === '/edge' ? length(value) : valueText(store, at, value);
		return h('li', h('div', h('b', `${fieldLabel(fieldOf(store.fields, pointer), pointer)}: ${text}`), ' ', english('span', because ?? '')),
			field && field.kind !== 'object' ? h('div.screen', control(store, pointer, say('answer-it'))) : button(say('answer-it'), () => ask(at), { class: 'screen', id: `ask${at}` }));
	};
	return store.quote.assumed.length === 0 ? [] : [heading(say('assumed')), h('p', say('assumed-gloss')), h('ul.assumed', store.quote.assumed.map(answered))];
}

export function notes({ quote }) {
	return [...['cautions', 'excluded', 'terms'].filter((key) => quote[key]?.length > 0).map((key) => [heading(say(key)), list(quote[key].map((text) => english('span', text)))]),
		quote.disclaimer ? english('p', quote.disclaimer, { class: 'disclaimer' }) : null];
}

/* ---- bill ---- */

export function bill(store) {
	const { price: sum, sections, taxes, provisional_sums: all = [], payment, minor_digits: digits } = store.quote;
	const exact = isExact(store);
	const money = (minor) => amount(minor, exact);
	if (!sum || sections.length === 0)
		return [];
	const worthSaying = sections.filter((part) => exact || Math.abs(part.amount_minor) * 2 >= 10 ** digits);
	const sums = all.filter((one) => !one.in_price && one.amount_minor !== null);
	return [heading(say('bill')), exact ? null : h('p', say('bill-rounded')),
		worthSaying.map(({ id, title, amount_minor: minor, lines }) => h('details.bill', { id: `bill-${id}` },
			h('summary', hasText(`sec:${id}`) ? say(`sec:${id}`) : english('span', title), h('span.money', money(minor))),
			lines.length > 0 ? table(title, lines.map((line) => row(english('span', line.title), `${figure(line.quantity)} ${unitName(line.unit)}`, money(line.amount_minor)))) : null)),
		terms('totals', [[say('net'), sum.net_minor], ...taxes.map((tax) => [`${say('tax')} ${percent(tax.rate)}`, tax.tax_minor]), [say('gross'), sum.gross_minor]]
			.map(([name, minor]) => [name, money(minor)])),
		sums.length > 0 ? [h('h3', say('sums')), list(sums.map((one) => [`${money(one.amount_minor)} `, english('span', `${one.title}: ${one.because}`)]))] : null,
		payment?.length > 0 ? [h('h3', say('payment')), list(payment.map((stage) => [english('span', stage.title),
			`: ${percent(stage.share)}${stage.amount_minor === null || !exact ? '' : `, ${money(stage.amount_minor)}`}`]))] : null];
}

const components = ['material', 'labour', 'hire', 'disposal', 'service'];

/* The owner's view. */
export function costing({ quote }) {
	const own = quote.costing;
	if (!own)
		return [];
	const money = (minor) => amount(minor, true);
	const titles = new Map(quote.sections.flatMap((part) => part.lines.map((line) => [line.build_up, line.title])));
	return [heading(say('costing')), terms('totals', [...['direct', 'overhead', 'risk', 'margin'].map((key) => [say(`c:${key}`), money(own[`${key}_minor`])]),
		...Object.entries(own.hours).filter(([, hours]) => hours > 0).map(([grade, hours]) => [grade, `${number(hours, 1)} h`])]),
	table(say('costing'), columns(['line', ...components, 'cost', 'price'].map((key) => say(`c:${key}`))),
		own.lines.map((line) => row(titles.get(line.build_up) ?? line.build_up, ...[...components, 'cost', 'amount'].map((key) => money(line[`${key}_minor`]))))),
	h('h3', say('bought')), list(own.bought.map((item) => `${item.title}: ${figure(item.quantity)} ${unitName(item.unit)}, ` +
		`${item.packs.map((pack) => `${pack.count} × ${pack.pack}`).join(', ')}: ${money(item.cost_minor)}`))];
}

/* ---- side by side ---- */

const missing = '–';
const moneyOr = (minor) => (typeof minor === 'number' ? roundAmount(minor) : missing);

export function compare(store, choose, askGrid) {
	const { compare: both, quote, region } = store;
	if (!both)
		return [];
	const { options, horizons = [] } = both;
	const years = both.service_years ?? quote.enquiry.service_years ?? 25;
	const over = [...horizons, ...horizons.some((one) => one.years === years) ? [] : [{ years, cheapest: both.cheapest_over_years, options }]].sort((a, b) => a.years - b.years);
	const overRow = ({ years: n, cheapest, options: costs }) => [say('cmp:over', { n }), (o) =>
		`${moneyOr(costs.find((cost) => cost.shell === o.shell)?.cost_over_years_minor)}${cheapest === o.shell ? ' ✓' : ''}`];
	const rows = [[say('cmp:now'), (o) => (o.price ? moneyOr(o.price.headline_minor) : say('cannot'))], [say('cmp:life'), (o) => say('years', { n: number(o.service_life_years) })],
		...over.map(overRow),
		[say('cmp:per-year'), (o) => moneyOr(o.cost_per_year_minor)], [say('cmp:days'), (o) => number(o.on_site_days, 1)],
		[say('cmp:finish'), (o) => (o.finish_on ? shortDay(o.finish_on) : missing)], [say('cmp:carbon'), (o) => (typeof o.kgco2e === 'number' ? `${figure(o.kgco2e)} kg` : missing)],
		[say('cmp:suits'), (o) => (o.unsuitable ? english('span', `✗ ${o.unsuitable.map((why) => why.why).join(' ')}`) : `✓ ${say('yes')}`)]];
	const title = (o) => region?.shells?.find((shell) => shell.id === o.shell)?.title ?? o.shell;
	const marks = (o) => ['now', 'over-years'].filter((when) => o.shell === both[`cheapest_${when.replace('-', '_')}`]).map((when) => say(`cheapest-${when}`)).join(', ');
	return [heading(say('compare')), h('p', say('compare-gloss')), table(say('compare'),
		h('thead', h('tr', h('td'), options.map((o) => h('th', { scope: 'col', class: o.shell === quote.shell ? 'chosen' : null }, english('span', title(o)), h('small', marks(o)))))),
		h('tbody', rows.filter(([, show]) => options.some((o) => show(o) !== missing)).map(([name, show]) => row(name, ...options.map(show)))),
		h('tfoot.screen', h('tr', h('td'), options.map((o) => h('td', o.shell === quote.shell ? `✓ ${say('priced')}`
			: button(say('price-this'), () => choose(o.shell), { id: `shell-${o.shell}`, 'aria-label': `${say('price-this')}: ${title(o)}` })))))),
	both.undecided?.length > 0 ? [h('h3', say('undecided')), list(both.undecided.map(({ between, decided_by: deciders }) =>
		english('span', `${between.map((id) => title({ shell: id })).join(' / ')}: ${deciders.map((one) => one.question ?? one.subject).join(' ')}`)))] : null,
	both.grid ? grids(both.grid, quote.takeoff, region) : quote.enquiry.pond ? button(say('grid-ask'), askGrid, { class: 'screen', id: 'grid-ask' }) : null];
}

/* ---- sheet or concrete, by size and depth ---- */

const nearest = (values, wanted) => values.toSorted((a, b) => Math.abs(a - wanted) - Math.abs(b - wanted))[0];

/* A table that is the chart: letter, pattern and shade say which form is cheapest, the figure how much more the
 * cheapest concrete (or, where that is cheapest, the cheapest sheet) would be. */
function gridTable(grid, now, takeoff, isSheet) {
	const [formKey, costKey] = now ? ['form_now', 'price_minor'] : ['form_over_years', 'cost_over_years_minor'];
	const here = [nearest(grid.water_surface_m2, takeoff.water_surface_m2), nearest(grid.depth_m, takeoff.depth_reached_m)];
	const least = (cell, sheet) => Math.min(...cell.options.filter((o) => o.fits && isSheet(o.shell) === sheet && o[costKey] !== null).map((o) => o[costKey]));
	const cellOf = (size, depth) => {
		const cell = grid.cells.find((one) => one.water_surface_m2 === size && one.depth_m === depth);
		const form = cell[formKey] ?? 'none';
		const ratio = (least(cell, form !== 'sheet') / least(cell, form === 'sheet')) - 1;
		const marked = here[0] === size && here[1] === depth;
		return h(`td.form-${form}`, { 'aria-current': marked }, h('b', say(`form-${form}`).charAt(0)), Number.isFinite(ratio) ? ` +${percent(Math.round(ratio * 100) / 100)}` : '', marked ? h('small', say('grid-here')) : null);
	};
	const label = say(now ? 'grid-now' : 'grid-over', { n: grid.service_years });
	return table(label, h('caption', label), h('thead', columns([say('grid-axes'), ...grid.water_surface_m2.map(area)])),
		h('tbody', grid.depth_m.map((depth) => row(length(depth), ...grid.water_surface_m2.map((size) => cellOf(size, depth))))));
}

function grids(grid, takeoff, region) {
	const isSheet = (id) => region?.shells?.find((shell) => shell.id === id)?.sheet ?? false;
	const forms = [...new Set(grid.cells.flatMap((cell) => [cell.form_now, cell.form_over_years]))].filter(Boolean);
	return h('div.grids', h('h3', say('grid')), h('p', say('grid-gloss')), [true, false].map((now) => gridTable(grid, now, takeoff, isSheet)),
		h('p', forms.map((form) => [h(`b.form-${form}`, say(`form-${form}`).charAt(0)), ` ${say(`form-${form}`)} `])));
}

/* ---- when, and the water ---- */

// The client's own water, which the price does not hold.
function filling(own) {
	return say('filling', { volume: number(own.water_m3, 1), hours: number(own.from_a_tap_h, 0), cost: amount(own.mains_water_minor) });
}

export function works({ quote }) {
	const plan_ = quote.programme;
	if (!plan_ || plan_.tasks.length === 0)
		return [];
	const dates = ['start_on', 'water_in_on', 'finish_on'].filter((key) => plan_[key]).map((key) => say(`p:${key}`, { day: day(plan_[key]) }));
	return [heading(say('works')), h('p', [say('on-site', { days: number(plan_.on_site_days, 1), visits: plan_.visits }), ...dates].join(' ')),
		plan_.conditional_on.length > 0 ? h('p.notice', say('no-dates')) : null,
		quote.filling ? h('p', filling(quote.filling)) : null, programme(plan_.tasks)];
}

export function water({ quote, region, width }) {
	const own = quote.water;
	if (!own?.duty)
		return own?.choice === 'none-delivers' ? [heading(say('pump')), h('p.notice', say('none-delivers'))] : [];
	const { duty } = own;
	const curve = own.curve ?? quote.enquiry.water?.kept_pump?.curve ?? region?.pumps?.find((pump) => pump.id === own.pump)?.curve;
	const verdict = duty.status === 'no-flow' ? 'no-flow' : own.enough === null ? '' : own.enough ? 'enough' : 'not-enough';
	const bores = (own.other_bores ?? []).filter((bore) => bore.flow_l_per_h > 0);
	return [heading(say('pump')), h('p', english('b', own.pump_title ?? own.pump), ' ', say('duty', { flow: figure(duty.flow_l_per_h), head: number(duty.head_m),
		bore: number(own.bore_mm, 1), speed: number(duty.velocity_m_s) })), verdict ? h(own.enough ? 'p' : 'p.notice', say(verdict, { flow: figure(own.demand_l_per_h) })) : null,
	dutyChart(own, curve, Math.min(560, width)),
	bores.length > 0 ? table(say('bores'), h('caption', say('bores')), bores.map((bore) => row(english('span', bore.title ?? `${number(bore.bore_mm, 1)} mm`), `${figure(bore.flow_l_per_h)} l/h`,
		bore.enough === null ? '' : say(bore.enough ? 'enough-short' : 'too-little')))) : null,
	h('p', say('running', { kwh: figure(own.kwh_per_year), cost: amount(own.running_cost_per_year_minor) }))];
}
