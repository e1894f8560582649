/* The answer: its drawings, made for a width in pixels so that words stay readable on a small screen, and its parts,
 * each made from store.quote, in which app.js sees what it read. */
import { amount, area, asked, boxOf, button, control, day, fieldLabel, figure, get, given, h, heading, length,
	number, pair, percent, roundAmount, say, sayAll, shortDay, store, unitName, valueText, wordTitle } from './form.js';

/* ---- parts of a drawing ---- */

const round = (value) => Math.round(value * 10) / 10;
const join = (points) => `M${points.map((point) => point.map(round).join(' ')).join('L')}`;
const path = (kind, d, attributes) => h(`path.${kind}`, { d: d.replace(/-?\d+\.\d+/g, round), ...attributes });
const text = (x, y, words, anchor) => h('text', { x: round(x), y: round(y), 'text-anchor': anchor }, words);
const svg = (kind, width, height, label, ...children) => h(`svg.drawing.${kind}`,
	{ viewBox: `0 0 ${width} ${round(height)}`, width, height: round(height), role: 'img', 'aria-label': label },
		...children);

const across = (x1, x2, y, words) =>
	[path('dimension', `M${x1} ${y - 4}v8M${x1} ${y}H${x2}M${x2} ${y - 4}v8`),
		text((x1 + x2) / 2, y - 5, words, 'middle')];
const upright = (x, y1, y2, words) =>
	[path('dimension', `M${x - 4} ${y1}h8M${x} ${y1}V${y2}M${x - 4} ${y2}h8`), text(x + 7, (y1 + y2) / 2 + 4, words)];

function roundUp(least, steps = [1, 2, 2.5, 5, 10]) {
	const power = 10 ** Math.floor(Math.log10(least));
	return steps.map((n) => n * power).find((step) => step >= least);
}

function scaleBar(x, y, pixelsPerMetre) {
	const step = roundUp(60 / pixelsPerMetre, [1, 2, 5, 10]);
	const end = x + step * pixelsPerMetre;
	return [path('dimension', `M${x} ${y - 4}v4H${end}v-4`), text(end + 6, y + 1, length(step))];
}

/* Height of a line of points at x. */
function along(points, x) {
	const after = points.findIndex(([at]) => at >= x);
	if (after <= 0)
		return points.at(after)[1];
	const [[x1, y1], [x2, y2]] = points.slice(after - 1);
	return y1 + (x - x1) / (x2 - x1 || 1) * (y2 - y1);
}

/* ---- the pond ---- */

/* Points (inset, depth) from the water line to the greatest inset, where the bed bottoms out. */
function bedOf({ kind, side_slope: slope = 1, shelf_width_m: width, shelf_depth_m: shelf, steps }, depth_m, inset_m) {
	const bed = {
		vertical: () => [[0, 0], [0, depth_m]],
		dish: () => [...Array(17).keys()].map((i) => [inset_m * i / 16, depth_m * (1 - (1 - i / 16) ** 2)]),
		stepped: () => steps.map((step) => [step.inset_m, step.depth_m]),
	}[kind]?.() ?? (width > 0 && shelf < depth_m
		? [[0, 0], [slope * shelf, shelf], [slope * shelf + width, shelf], [slope * depth_m + width, depth_m]]
		: [[0, 0], [slope * depth_m, depth_m]]);
	const kept = bed.filter(([inset]) => inset < inset_m);
	return [...kept, [inset_m, along(bed, inset_m)]];
}

/* From above. A stroke twice as wide as an inset, clipped to the inside, covers what lies so near to the edge. */
function plan({ outline, bed, deepest, surface }, width) {
	const { left, top, wide, high } = boxOf(outline);
	const { kind, points_m: points, corner_radius_m: rounded = 0 } = outline;
	const scale = Math.min((width - 70) / wide, 300 / high);
	const [start, end, bottom] = [(width - 60 - wide * scale) / 2 + 4, (width - 60 + wide * scale) / 2 + 4,
		26 + high * scale];
	const radius = { rectangle: rounded, stadium: Math.min(wide, high) / 2 }[kind];
	const shape = (part, attributes) => h(`${points ? 'polygon' : 'rect'}.${part}`, { ...attributes, ...points
		? { points: points.map(([x, y]) => [start + (x - left) * scale, 26 + (top - y) * scale].map(round)) }
		: { x: start, y: 26, width: wide * scale, height: high * scale, rx: (radius ?? wide / 2) * scale,
			ry: (radius ?? high / 2) * scale } });
	const bands = bed.slice(1).map(([inset, depth], i) => {
		const shade = Math.round((depth + bed[i][1]) / deepest * 50);
		return shape('band', { 'stroke-width': 2 * inset * scale,
			stroke: `color-mix(in srgb, var(--deep) ${shade}%, var(--shallow))` });
	});

	return svg('plan', width, bottom + 40,
		say('plan-said', { length: length(wide), width: length(high), area: area(surface) }),
		h('clipPath', { id: 'inside' }, shape('inside')), shape('floor'),
		h('g', { 'clip-path': 'url(#inside)' }, bands.reverse()),
		shape('water-line'), across(start, end, 16, length(wide)), upright(end + 12, 26, bottom, length(high)),
		scaleBar(start, bottom + 26, scale));
}

/* The cut through the widest circle that fits inside: there the bed is the profile and its mirror image. */
function section({ bed, deepest, thick, rim, raised }, width) {
	const half = bed.at(-1)[0];
	const below = deepest + thick + 0.15;
	const scale = Math.min((width - 40) / (2 * half + 1.2), 260 / (below + rim + 0.2));
	const [middle, top, water] = [width / 2, 40, 40 + rim * scale];
	const ground = water - (rim - raised) * scale;
	const bottom = water + below * scale;
	const at = (sideways) => ([inset, depth]) => [middle + sideways * (half - inset) * scale, water + depth * scale];
	const line = [...bed.map(at(-1)), ...bed.toReversed().map(at(1))];
	const [left, right] = [line[0][0], line.at(-1)[0]];
	const upTo = (y) => join([[left, y], ...line, [right, y]]);
	const deepX = middle - 0.1 * half * scale;
	const deep = along(bed, 0.9 * half);

	return svg('section', width, bottom + 36,
		say('section-said', { across: length(2 * half), depth: length(deepest), rim: length(rim) }),
		path('ground', `M0 ${ground}H${width}V${bottom}H0Z`),
		path('shell', upTo(top), { 'stroke-width': Math.max(2, thick * scale * 2) }),
		path('hole', `${upTo(Math.min(ground, top) - thick * scale - 2)}Z`), path('water', `${join(line)}Z`),
		path('shell-face', upTo(top)), path('ground-line', `M0 ${ground}H${left}M${right} ${ground}H${width}`),
		path('water-line', `M${left} ${water}H${right}`),
		path('mark', `M${middle - 0.6 * half * scale} ${water}l-5 -8h10Z`),
		across(left, right, 20, length(2 * half)), upright(deepX, water, water + deep * scale, length(deep)),
		scaleBar(8, bottom + 22, scale));
}

function shelfNote({ bed, deepest }) {
	const at = bed.findIndex(([, depth], i) => depth > 0 && depth < deepest && depth === bed[i - 1][1]);
	return at > 0 && say('shelf-note', { width: length(bed[at][0] - bed[at - 1][0]), depth: length(bed[at][1]) });
}

const layers = (shell) => h('ul.layers', h('li', say('water-side')),
	shell.toReversed().map(({ kind, coats, thickness_mm: thick }) => h('li',
		h('svg.drawing', { width: 90, height: Math.max(14, Math.min(90, thick / 2)), 'aria-hidden': 'true' },
			h(`rect.layer.${kind}`, { width: '100%', height: '100%' })), wordTitle({ pointer: '/layer' }, kind),
		coats > 1 && ` × ${coats}`, thick > 0 && `, ${number(thick, 1)} mm`)), h('li', say('ground-side')));

/* Points (x, height above the pond): cascades fall upright, the rest of the fall is spread evenly between them. */
function streamBed({ cascades = [], fall_m: fall, length_m: long }) {
	const parts = cascades.length + 1;
	const slope = Math.max(0, fall - cascades.reduce((sum, { drop_m: drop }) => sum + drop, 0)) / parts;
	let height = fall;

	return [[0, fall], ...cascades.flatMap(({ drop_m: drop }, i) => {
		const x = long / parts * (i + 1);
		height -= slope + drop;
		return [[x, height + drop], [x, height]];
	}), [long, Math.max(0, height - slope)]];
}

function streamSide(stream, pond, water, width) {
	const { length_m: long, fall_m: fall } = stream;
	const reach = Math.max(1, Math.min(2 * pond.bed.at(-1)[0], long * 0.35));
	const scale = (width - 30) / (long + reach + 0.6);
	const taller = [1, 2, 5].find((times) => fall * scale * times >= 50) ?? 10;
	const up = scale * taller;
	const level = 44 + fall * up;
	const points = streamBed(stream).map(([x, height]) => [14 + x * scale, level - height * up]);
	const pipe = join(points.map(([x, y]) => [x, y + 12]).reverse()).slice(1);
	const [mouth, far, bottom] = [14 + long * scale, 14 + (long + reach) * scale, level + pond.deepest * up + 12];
	const [pumpX, pumpY, topY] = [mouth + (far - mouth) * 0.6, bottom - 21, points[0][1]];
	const lift = water.static_m * up;

	return svg('stream-side', width, bottom + 36, say('stream-said', { length: length(long), fall: length(fall) }),
		path('ground',
			`${join(points)}L${mouth} ${level}L${mouth + 6} ${bottom}H${far}V${level}h14V${bottom + 8}H0V${topY}Z`),
		path('water', `M${mouth} ${level}H${far}V${bottom}H${mouth + 6}Z`), path('stream', join(points)),
		path('water-line', `M${mouth} ${level}H${far}`),
		water.duty && [path('pump', `M${pumpX - 9} ${pumpY - 7}h18v14h-18Z`),
			path('pipe', `M${pumpX} ${pumpY}L${mouth + 8} ${level + 14}L${pipe}h-6V${topY - 3}h6`)],
		lift > 0 && [upright(far + 1, level - lift, level),
			text(far - 4, level - lift - 6, say('lift', { lift: length(water.static_m) }), 'end')],
		across(14, mouth, 22, length(long)), scaleBar(8, bottom + 30, scale),
		taller > 1 && text(width - 8, bottom + 30, say('taller', { times: taller }), 'end'));
}

/* ---- charts ---- */

function rangeBar(spread, [from, to]) {
	const [low, likely, high] = spread.map((minor) => (minor - from) / (to - from) * 100);
	const [words, likelyWords, highWords] = spread.map(roundAmount);
	const bar = (kind, x, width, height) => h(`rect.${kind}`, { x: `${x}%`, y: 22 - height / 2, width, height, rx: 2 });
	return h('svg.drawing.range',
		{ role: 'img', 'aria-label': say('range-said', { low: words, likely: likelyWords, high: highWords }) },
		bar('reach', 0, '100%', 16), bar('spread', low, `${high - low}%`, 16), bar('likely', likely, 3, 28),
		h('text', { x: `${low}%`, y: 52 }, words),
		h('text', { x: `${high}%`, y: 52, 'text-anchor': 'end' }, highWords));
}

/* Without dates one task stands after the other, with its wait, on a scale of weeks of five working days. */
function programme(tasks) {
	const days = Math.max(...tasks.map((task) => task.ready_day));
	const share = (day) => `${day / days * 100}%`;
	const bar = (kind, from, to) => h(`rect.${kind}`,
		{ x: share(from), width: `${Math.max(0.6, (to - from) / days * 100)}%`, height: '100%' });
	const step = roundUp(days / 40, [1, 2, 5, 10]);

	return h('ol.programme', tasks.map(({ title, first_day: first, last_day: last, ready_day: ready, from, to,
		wait_days: wait, work_days: work }) => h('li', h('span', title),
			h('svg.track', { 'aria-hidden': 'true' }, bar('bar', first - 1, last),
				ready > last && bar('wait', last, ready)),
			h('span', !to ? say('work-days', { days: number(work, 1) })
				: from === to ? shortDay(from) : `${shortDay(from)} – ${shortDay(to)}`,
			wait >= 0.5 && ` ${say('then-wait', { days: number(wait, 0) })}`))),
	!tasks[0].to && h('li', { 'aria-hidden': 'true' }, h('span', say('week')), h('svg.track',
		[...Array(Math.floor(days / 7 / step)).keys()].map((i) => h('text',
			{ x: share(7 * step * (i + 1)), y: '1em', 'text-anchor': 'middle' }, step * (i + 1))))));
}

/* Losses grow with some 1.85th power of the flow (common practice: friction in smooth pipe with the 1.75th, bends with
 * the square). */
function dutyChart(water, curve, bores, width) {
	const { duty: { flow_l_per_h: flow, head_m: head }, demand_l_per_h: demand, static_m: lift } = water;
	const others = bores.filter((bore) => curve?.at(-1)[0] >= bore.flow_l_per_h)
		.map((bore) => ({ ...bore, head: along(curve, bore.flow_l_per_h) }));
	const mostFlow = roundUp(1.02 *
		Math.max(1, flow, demand, curve?.at(-1)[0] ?? 0, ...others.map((bore) => bore.flow_l_per_h)));
	const mostHead = roundUp(Math.max(curve?.[0][1] ?? 0, head, lift, 0.1) * 1.05);
	const [left, right, top, bottom] = [44, width - 14, 14, 216];
	const x = (at) => left + at / mostFlow * (right - left);
	const y = (at) => bottom - at / mostHead * (bottom - top);
	const line = (kind, points) =>
		path(kind, join(points.filter(([, at]) => at <= mostHead).map((point) => [x(point[0]), y(point[1])])));
	const pipe = (kind, at, needs) => at > 0 && line(kind, [...Array(41).keys()].map((i) => i / 40 * mostFlow)
		.map((now) => [now, lift + (needs - lift) * (now / at) ** 1.85]));
	const dot = (kind, at, needs, r) => h(`circle.${kind}`, { cx: round(x(at)), cy: round(y(needs)), r });
	const wider = water.enough === false && others.find((bore) => bore.enough);
	const key = (kind, ...words) => h('li', h('svg.drawing', { width: 28, height: 14, 'aria-hidden': 'true' },
		/^(duty|other)$/.test(kind) ? h(`circle.${kind}`, { cx: 14, cy: 7, r: kind === 'duty' ? 6 : 4 })
			: path(kind, 'M1 7h26')), say(...words));

	return [svg('chart', width, 260, say('duty-said', { flow: figure(flow), head: number(head) }),
		[0, 0.25, 0.5, 0.75, 1].map((part) => [part * mostFlow, part * mostHead, part]).map(([at, needs, part]) => [
			path('grid', `M${left} ${y(needs)}H${right}M${x(at)} ${top}V${bottom}`),
			text(left - 6, y(needs) + 4, number(needs), 'end'),
			(width > 360 || part % 0.5 === 0) && text(x(at), bottom + 16, number(at, 0), part === 1 ? 'end'
				: 'middle')]),
		text(right, 254, say('axis-flow'), 'end'), text(left + 4, top + 10, say('axis-head')),
		curve && line('curve-pump', curve), pipe('curve-system', flow, head),
			wider && pipe('curve-other', wider.flow_l_per_h, wider.head),
		demand > 0 && path('demand', `M${x(demand)} ${top}V${bottom}`),
		others.map((bore) => dot('other', bore.flow_l_per_h, bore.head, 4)), dot('duty', flow, head, 6)),
	h('ul.key', key('duty', 'key-duty'), curve && key('curve-pump', 'key-pump'),
		key('curve-system', 'key-system', { bore: number(water.bore_mm, 1) }),
		wider && key('curve-other', 'key-system', { bore: number(wider.bore_mm, 1) }),
		others.length > 0 && key('other', 'key-others'),
		demand > 0 && key('demand', 'key-demand', { flow: figure(demand) }))];
}

/* ---- the parts of the answer ---- */

const isExact = () => store.quote.status === 'quote' || Boolean(store.quote.costing);
const money = (minor) => amount(minor, isExact());
const moneyOr = (minor) => typeof minor === 'number' && roundAmount(minor);
const row = (name, ...cells) => h('tr', h('th', { scope: 'row' }, name),
	cells.map((cell) => (cell.tagName === 'TD' ? cell : h('td', cell))));
const columns = (titles) => h('tr', titles.map((title) => h('th', { scope: 'col' }, title)));
const table = (label, ...rows) => h('div.scroll', { tabindex: 0, role: 'region', 'aria-label': label },
	h('table', rows));
const terms = (kind, titles, values) => h(`dl.${kind}`, values.map((value, i) =>
	h('div', h('dt', titles[i]), h('dd', value))));
export const list = (items) => h('ul', items.map((item) => h('li', item)));
const shellOf = (id) => store.region?.shells.find((shell) => shell.id === id) ?? { title: id, layers: [] };

/* The range of an older quote leaves its bar until the newer one comes; its prices are not said any more. */
function sum() {
	const { price: total, range, taxes, status, cannot } = store.quote;
	if (!total)
		return [heading(say('cannot')), list(cannot.map((reason) => reason.why))];
	const gross = total.gross_minor ?? total.headline_minor;
	const tax = say(taxes.length > 0 || gross !== total.net_minor ? 'with-tax' : 'no-tax');
	const about = say('about', { price: amount(total.headline_minor) });
	const said = (key, big, ...rest) => [heading(say(key)), h('p.big', big), rest];
	if (!range?.gross)
		return isExact() ? said(status, amount(gross, true), h('p', tax))
			: said('estimate', about, h('p', `${tax}. ${say('estimate-gloss')}`));
	const { low_minor: low, likely_minor: likely, high_minor: high } = range.gross;
	/* the scale stays while answers come in, so that the bar is seen to narrow */
	const [from, to] = store.reach ?? [low, high];
	store.reach = [Math.min(from, low * 1.1 - high * 0.1), Math.max(to, high * 1.1 - low * 0.1)];
	return said('estimate', range.isOld ? about : say('from-to', { low: roundAmount(low), high: roundAmount(high) }),
		h(`div${range.isOld ? '.old' : ''}`, rangeBar([low, likely, high], store.reach)),
		h('p', `${range.isOld ? '' : say('most-likely', { price: roundAmount(likely) })} ${tax}. ${say('range-gloss')}`));
}

function price() {
	const { quote, region } = store;
	return [sum(), terms('stamp', sayAll('stamp'), [quote.reference, day(quote.issued_on), day(quote.valid_until),
		`${region?.title ?? quote.region}, ${quote.edition}`]),
	quote.invented && h('p.invented', say('invented'))];
}

const valueAt = (pointer) => get(store.quote.enquiry, pointer) ??
	store.quote.assumed.find((one) => one.pointer === pointer)?.value ?? store.fields.get(pointer)?.usual;

function drawing() {
	const { enquiry: { pond: { outline, depth_m: deep, profile: own } = {}, stream }, takeoff, shell: id,
		water: moved } = store.quote;
	const width = Math.min(560, store.width);
	if (!outline || !takeoff.inradius_m)
		return null;
	const profile = { ...valueAt('/pond/profile'), ...own };
	for (const name of ['side_slope', 'shelf_width_m', 'shelf_depth_m'])
		profile[name] ??= valueAt(`/pond/profile/${name}`);
	const shell = shellOf(id).layers;
	const deepest = takeoff.depth_reached_m;
	/* in metres and square metres */
	const pond = { outline, deepest, bed: bedOf(profile, deepest || deep, takeoff.inradius_m),
		surface: takeoff.water_surface_m2, thick: shell.reduce((all, layer) => all + layer.thickness_mm, 0) / 1000,
		rim: valueAt('/pond/freeboard_m') ?? 0.1, raised: valueAt('/pond/water_above_ground_m') ?? 0 };
	const figureOf = (title, drawing) => h('figure', h('figcaption', title), drawing);
	return [heading(say('drawings')),
		h('p', say('measures', { water: figure(takeoff.water_volume_m3), surface: area(pond.surface),
			dig: figure(takeoff.dig_m3) })),
	h('div.figures', figureOf(say('plan'), plan(pond, width)),
		figureOf([say('section'), shelfNote(pond)], section(pond, width)),
		shell.length > 0 && figureOf(say('layers'), layers(shell)),
		stream && figureOf([say('stream'), moved.duty && say('pump-note',
			{ run: length(moved.run_m ?? 0), bore: number(moved.bore_mm, 1) })], streamSide(stream, pond, moved, width)))];
}

function flagCard(flag) {
	return h('details.flag', { id: `flag-${flag.id}`, open: flag.level === 'stop' },
		h('summary', flag.ask ?? flag.title), flag.ask && h('p', flag.title),
		['why', 'do', 'authority', 'season', 'source'].map((key, i) => flag[key] &&
			h(`p.flag-${key}`, h('b', `${sayAll('flag')[i]} `), flag[key])));
}

function flags() {
	const all = store.quote.flags;
	return all.length > 0 && [heading(say('flags')), h('p', say('flags-gloss')),
		Object.entries({ stop: '⬣', check: '▲', ask: '?', note: 'i' }).map(([level, sign], i) => {
			const found = all.filter((flag) => flag.level === level);
			return found.length > 0 && h(`div.level.is-${level}`,
				h('h3', h('span.sign', { 'aria-hidden': 'true' }, sign),
				` ${sayAll('levels')[i]} (${found.length})`), found.map(flagCard));
		})];
}

function assumed() {
	const answered = ({ pointer: at, value, because }) => {
		const pointer = asked(at);
		const field = store.fields.get(pointer);
		return h('li', h('div',
			h('b', pair(fieldLabel(pointer), at === '/edge' ? length(value) : valueText(at, value))),
			' ', because),
		field && field.kind !== 'object' ? h('div.screen', control(pointer, say('answer-it'), `a${pointer}`))
			: button(say('answer-it'), () => store.askAbout(at), { class: 'screen', id: `ask${at}` }));
	};
	const all = store.quote.assumed;
	return all.length > 0 && [heading(say('assumed')), h('p', say('assumed-gloss')),
		h('ul.assumed', all.map(answered))];
}

function notes() {
	const { quote } = store;
	const lists = ['cautions', 'excluded', 'guarantee', 'care', 'terms'].map((key, i) =>
		quote[key]?.length > 0 && [heading(sayAll('notes')[i]), list(quote[key].map((one) =>
			(one.season ? pair(one.season, one.text) : one.text ?? one)))]);
	return [lists, quote.disclaimer && h('p.disclaimer', quote.disclaimer)];
}

function bill() {
	const { price: total, sections, taxes, provisional_sums: all, payment, minor_digits: places } = store.quote;
	const exact = isExact();
	const [net, tax, gross] = sayAll('totals');
	if (!total || sections.length === 0)
		return null;
	const worthSaying = sections.filter((part) => exact || Math.abs(part.amount_minor) * 2 >= 10 ** places);
	const sums = all.filter((one) => !one.in_price && one.amount_minor !== null);
	return [heading(say('bill')), !exact && h('p', say('bill-rounded')),
		worthSaying.map(({ id, title, amount_minor: minor, lines }) => h('details.bill', { id: `bill-${id}` },
			h('summary', title, h('span.money', money(minor))),
			lines.length > 0 && table(title, lines.map((line) =>
				row(line.title, `${figure(line.quantity)} ${unitName(line.unit)}`, money(line.amount_minor)))))),
		terms('totals', [net, ...taxes.map((each) => `${tax} ${percent(each.rate)}`), gross],
			[total.net_minor, ...taxes.map((each) => each.tax_minor), total.gross_minor].map(money)),
		sums.length > 0 && [h('h3', say('sums')),
			list(sums.map((one) => `${money(one.amount_minor)} ${pair(one.title, one.because)}`))],
		payment.length > 0 && [h('h3', say('payment')),
			list(payment.map((stage) => [pair(stage.title, percent(stage.share)),
			exact && stage.amount_minor !== null && `, ${money(stage.amount_minor)}`]))]];
}

function costing() {
	const own = store.quote.costing;
	if (!own)
		return null;
	const components = ['material', 'labour', 'hire', 'disposal', 'service', 'cost', 'amount'];
	const titles = Object.fromEntries(store.quote.sections.flatMap((part) =>
		part.lines.map((line) => [line.build_up, line.title])));
	const grades = Object.keys(own.hours).filter((grade) => own.hours[grade] > 0);
	return [heading(say('costing')), terms('stamp', [...sayAll('costs'), ...grades],
		[...['direct', 'overhead', 'risk', 'margin'].map((key) => money(own[`${key}_minor`])),
			...grades.map((grade) => `${number(own.hours[grade], 1)} h`)]),
	table(say('costing'), columns(sayAll('cost-columns')), own.lines.map((line) =>
		row(titles[line.build_up] ?? line.build_up,
			...components.map((key) => (line[`${key}_minor`] ? money(line[`${key}_minor`]) : '–'))))),
	h('h3', say('bought')),
		list(own.bought.map((item) => `${item.title}: ${figure(item.quantity)} ${unitName(item.unit)}, ` +
		`${item.packs.map((pack) => `${pack.count} × ${pack.pack}`).join(', ')}: ${money(item.cost_minor)}`))];
}

/* ---- shells side by side ---- */

/* A row for each shell: the prices, and below them what else speaks for it or against it. */
function shellRows(option, over, cheapestNow) {
	const { shell, price: total, unsuitable, finish_on: finish, kgco2e } = option;
	const { title } = shellOf(shell);
	const isChosen = shell === store.quote.shell;
	const [now, life, perYear, days, done, carbon, suits] = sayAll('compared');
	const cell = (label, said, isCheapest) =>
		h('td', { 'data-label': label }, said, said !== '–' && isCheapest && ' ✓');
	const facts = [[life, say('years', { n: number(option.service_life_years) })],
		[perYear, moneyOr(option.cost_per_year_minor)], [days, number(option.on_site_days, 1)],
		[done, finish && shortDay(finish)],
		[carbon, typeof kgco2e === 'number' && `${figure(kgco2e)} kg`]];
	return h('tbody', h('tr', h(`th${isChosen ? '.chosen' : ''}`, { scope: 'row' }, title),
		cell(now, total ? roundAmount(total.headline_minor) : '–', shell === cheapestNow),
		over.map(({ years: n, cheapest, options }) => cell(say('over', { n }),
			moneyOr(options.find((one) => one.shell === shell)?.cost_over_years_minor) || '–', shell === cheapest))),
	h('tr', h('td', { colspan: 2 + over.length },
		facts.filter(([, said]) => said).map((fact) => pair(...fact)).join(' · '),
		unsuitable ? h('b', ` ✗ ${unsuitable.map((reason) => reason.why).join(' ')}`) : ` · ✓ ${suits}`, ' ',
		isChosen ? `· ${say('priced')}` : button(say('price-this'), () => store.give('/shell', shell),
			{ id: `shell-${shell}`, class: 'screen', 'aria-label': `${say('price-this')}: ${title}` }))));
}

function compare() {
	const { compare: both } = store.quote;
	if (!both)
		return null;
	const { options, horizons = [], service_years: years } = both;
	const over = [...horizons.filter((one) => one.years !== years),
		{ years, cheapest: both.cheapest_over_years, options }].sort((one, other) => one.years - other.years);
	return [heading(say('compare')), h('p', say('compare-gloss')), table(say('compare'),
		h('thead', columns([say('shell'), sayAll('compared')[0], ...over.map(({ years: n }) => say('over', { n }))])),
		options.map((option) => shellRows(option, over, both.cheapest_now))),
	both.undecided?.length > 0 && [h('h3', say('undecided')),
		list(both.undecided.map(({ between, decided_by: deciders }) =>
			[between.map((id) => shellOf(id).title).join(' / '), ...deciders.map((one) => one.question ?? one.subject)]
				.join(' · ')))],
	both.grid ? grids(both.grid) : given('/pond') && button(say('grid-ask'), store.askGrid,
		{ class: 'screen', id: 'grid-ask' })];
}

/* Letter, pattern and shade say which form is cheapest, the figure how much more the cheapest of the others is. */
function gridTable({ cells, depth_m: depths, water_surface_m2: sizes, service_years: n }, now) {
	const { takeoff } = store.quote;
	const [formKey, costKey] = now ? ['form_now', 'price_minor'] : ['form_over_years', 'cost_over_years_minor'];
	const nearest = (values, wanted) => values.toSorted((a, b) => Math.abs(a - wanted) - Math.abs(b - wanted))[0];
	const cellOf = (size, depth) => {
		const cell = cells.find((one) => one.water_surface_m2 === size && one.depth_m === depth);
		const form = cell[formKey];
		const least = (sheet) => Math.min(...cell.options
			.filter((o) => o.fits && Boolean(shellOf(o.shell).sheet) === sheet).map((o) => o[costKey] ?? Infinity));
		const more = least(form !== 'sheet') / least(form === 'sheet') - 1;
		const here = size === nearest(sizes, takeoff.water_surface_m2) &&
			depth === nearest(depths, takeoff.depth_reached_m);
		return h(`td.form-${form}`, { 'aria-current': here }, h('b', form ? say(`form-${form}`).charAt(0) : '–'),
		Number.isFinite(more) && ` +${percent(Math.round(more * 100) / 100)}`, here && h('small', say('grid-here')));
	};
	const label = now ? sayAll('compared')[0] : say('over', { n });
	return table(label, h('caption', label), h('thead', columns([say('grid-axes'), ...sizes.map(area)])),
		h('tbody', depths.map((depth) => row(length(depth), ...sizes.map((size) => cellOf(size, depth))))));
}

function grids(grid) {
	const forms = new Set(grid.cells.flatMap((cell) => [cell.form_now, cell.form_over_years]));
	return h('div.grids', h('h3', say('grid-ask')), h('p', say('grid-gloss')), gridTable(grid, true),
		gridTable(grid, false),
		h('p', [...forms].filter(Boolean).map((form) =>
			[h(`b.form-${form}`, say(`form-${form}`).charAt(0)), ` ${say(`form-${form}`)} `])));
}

/* ---- when, and the water ---- */

function works() {
	const { programme: schedule, filling } = store.quote;
	if (!schedule || schedule.tasks.length === 0)
		return null;
	const dates = ['start_on', 'water_in_on', 'finish_on'].map((key) =>
		schedule[key] && say(`p:${key}`, { day: day(schedule[key]) }));
	return [heading(say('works')),
		h('p', [say('on-site', { days: number(schedule.on_site_days, 1), visits: schedule.visits }), ...dates]
			.filter(Boolean).join(' ')),
		schedule.conditional_on.length > 0 && h('p.notice', say('no-dates')),
		filling && h('p', say('filling', { volume: number(filling.water_m3, 1), hours: number(filling.from_a_tap_h, 0),
			cost: amount(filling.mains_water_minor) })), programme(schedule.tasks)];
}

function water() {
	const { water: own } = store.quote;
	if (!own?.duty)
		return own?.choice === 'none-delivers' && [heading(say('pump')), h('p.notice', say('none-delivers'))];
	const { flow_l_per_h: flow, head_m: head, velocity_m_s: speed, status: end } = own.duty;
	const curve = own.curve ?? given('/water/kept_pump/curve') ??
		store.region?.pumps.find((pump) => pump.id === own.pump)?.curve;
	const verdict = end === 'no-flow' ? end : own.enough === false ? 'not-enough' : own.enough && 'enough';
	const bores = (own.other_bores ?? []).filter((bore) => bore.flow_l_per_h > 0);
	return [heading(say('pump')), h('p', h('b', own.pump_title ?? own.pump), ' ',
		say('duty', { flow: figure(flow), head: number(head), bore: number(own.bore_mm, 1), speed: number(speed) })),
	verdict && h(own.enough ? 'p' : 'p.notice', say(verdict, { flow: figure(own.demand_l_per_h) })),
	dutyChart(own, curve, bores, Math.min(560, store.width)),
	bores.length > 0 && table(say('bores'), h('caption', say('bores')),
		bores.map((bore) => row(bore.title ?? `${bore.bore_mm} mm`, `${figure(bore.flow_l_per_h)} l/h`,
			bore.enough === null ? '' : say(bore.enough ? 'enough-short' : 'too-little')))),
	h('p', say('running', { kwh: figure(own.kwh_per_year), cost: amount(own.running_cost_per_year_minor) }))];
}

/* What the page shows them by. */
export const parts = { price, drawings: drawing, flags, compare, bill, costing, works, water, assumed, notes };
