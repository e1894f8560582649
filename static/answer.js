/* What the service answered, part by part: each function gives the children of one part of the page. */
import { get } from './address.js';
import { dutyChart, dutyKey, programme, rangeBar } from './charts.js';
import { control, valueText } from './controls.js';
import { h, heading } from './dom.js';
import { layers, plan, section, shelfNote, streamSide } from './drawings.js';
import { fieldOf } from './fields.js';
import { bedOf, ringOf } from './shapes.js';
import { amount, area, day, fieldLabel, figure, hasText, length, number, percent, roundAmount, say, theirs, unitName } from './words.js';

const isExact = (store) => store.quote.status === 'quote' || Boolean(store.quote.costing);
const named = (list, id, title) => (hasText(`${list}:${id}`) ? say(`${list}:${id}`) : h('span', { lang: theirs() }, title ?? id));
const english = (tag, text, attributes) => h(tag, { lang: theirs(), ...attributes }, text);
const table = (label, ...rows) => h('div', { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': label }, h('table', {}, rows));
const cells = (kind, ...texts) => h('tr', {}, h('th', { scope: 'row' }, texts[0]), texts.slice(1).map((text) => h(kind, {}, text)));

/* ---- price ---- */

export function price(store) {
	const { quote, range } = store;
	const gross = quote.price?.gross_minor ?? quote.price?.headline_minor;
	const tax = quote.taxes.length > 0 || gross !== quote.price?.net_minor ? say('with-tax') : say('no-tax');

	if (!quote.price)
		return [heading(2, say('cannot')), h('ul', {}, quote.cannot.map((row) => english('li', row.why)))];
	if (isExact(store) && !range)
		return [heading(2, say(quote.status)), h('p', { class: 'big' }, amount(gross, true)), h('p', {}, tax)];
	if (!range?.gross)
		return [heading(2, say('estimate')), h('p', { class: 'big' }, say('about', { price: amount(quote.price.headline_minor) })),
			h('p', {}, `${tax}. ${say('estimate-gloss')}`)];
	const { low_minor: low, likely_minor: likely, high_minor: high } = range.gross;
	store.reach ??= [low - (high - low) * 0.1, high + (high - low) * 0.1];
	store.reach = [Math.min(store.reach[0], low), Math.max(store.reach[1], high)];
	return [heading(2, say('estimate')),
		h('p', { class: 'big' }, say('from-to', { low: roundAmount(low), high: roundAmount(high) })),
		rangeBar(low, likely, high, store.reach, Math.min(520, store.width)),
		h('p', {}, `${say('most-likely', { price: roundAmount(likely) })} ${tax}. ${say('range-gloss')}`)];
}

export function stamp(store) {
	const { quote } = store;
	return [h('dl', { class: 'stamp' }, [['reference', quote.reference], ['issued', day(quote.issued_on)], ['valid', day(quote.valid_until)],
		['edition', `${store.region?.title ?? quote.region}, ${quote.edition}`]].map(([key, text]) => h('div', {}, h('dt', {}, say(key)), h('dd', {}, text)))),
		quote.invented ? h('p', { class: 'invented' }, say('invented')) : null];
}

/* ---- drawings ---- */

/* What counts for a field: given, else assumed, else its fixed value. */
function valueAt(store, pointer) {
	const assumed = store.quote.assumed.find((row) => row.pointer === pointer)?.value;
	return get(store.quote.enquiry, pointer) ?? assumed ?? store.fields.get(pointer)?.usual;
}

function profileOf(store) {
	const profile = { ...store.quote.assumed.find((row) => row.pointer === '/pond/profile')?.value, ...get(store.quote.enquiry, '/pond/profile') };
	for (const name of ['side_slope', 'shelf_width_m', 'shelf_depth_m'])
		profile[name] ??= valueAt(store, `/pond/profile/${name}`);
	return profile;
}

function pondOf(store) {
	const { takeoff, enquiry } = store.quote;
	const layerList = store.region?.shells?.find((shell) => shell.id === store.quote.shell)?.layers ?? [];
	const bed = bedOf(profileOf(store), takeoff.depth_reached_m || enquiry.pond.depth_m, takeoff.inradius_m);
	return {
		outline: enquiry.pond.outline, bed, deepest_m: takeoff.depth_reached_m, surface_m2: takeoff.water_surface_m2, layers: layerList,
		shell_m: layerList.reduce((sum, layer) => sum + (layer.thickness_mm ?? 0), 0) / 1000,
		freeboard_m: valueAt(store, '/pond/freeboard_m') ?? 0.1, above_ground_m: valueAt(store, '/pond/water_above_ground_m') ?? 0,
	};
}

const figureOf = (title, ...children) => h('figure', {}, h('figcaption', {}, title), children);

export function drawings(store) {
	const { quote } = store;
	const width = Math.min(560, store.width);
	if (!quote.enquiry.pond || !(quote.takeoff.inradius_m > 0) || !ringOf(quote.enquiry.pond.outline))
		return [];
	const pond = pondOf(store);
	const stream = quote.enquiry.stream;
	const facts = [['water', `${figure(quote.takeoff.water_volume_m3)} m³`], ['surface', area(quote.takeoff.water_surface_m2)],
		['dig', `${figure(quote.takeoff.dig_m3)} m³`]];
	return [heading(2, say('drawings')), h('p', {}, facts.map(([key, text]) => `${say(`d:${key}`)} ${text}`).join(' · ')),
		h('div', { class: 'figures' }, figureOf(say('plan'), plan(pond, width)), figureOf(`${say('section')} ${shelfNote(pond)}`, section(pond, width)),
			pond.layers.length > 0 ? figureOf(say('layers'), layers(pond.layers, Math.min(340, width))) : null,
			stream ? figureOf(say('stream'), streamSide(stream, pond, quote.water, width)) : null)];
}

/* ---- what to mind ---- */

const signs = { stop: '⬣', check: '▲', ask: '?', note: 'i' };

export function flags(store) {
	const list = store.quote.flags;
	if (list.length === 0)
		return [];
	return [heading(2, say('flags')), h('p', {}, say('flags-gloss')), ['stop', 'check', 'ask', 'note'].map((level) => {
		const rows = list.filter((flag) => flag.level === level);
		return rows.length === 0 ? null : h('div', { class: `level is-${level}` },
			h('h3', {}, h('span', { class: 'sign', 'aria-hidden': 'true' }, signs[level]), ` ${say(`level-${level}`)} (${rows.length})`),
			rows.map((flag) => flagCard(flag, level)));
	})];
}

function flagCard(flag, level) {
	const rows = [['why', flag.why], ['do', flag.do], ['whom', flag.authority], ['season', flag.season], ['source', flag.source]];
	return h('details', { class: 'flag', id: `flag-${flag.id}`, open: level === 'stop' }, h('summary', { lang: theirs() }, flag.ask ?? flag.title),
		flag.ask ? english('p', flag.title) : null, rows.filter(([, text]) => text).map(([key, text]) => h('p', { class: `flag-${key}` },
			h('b', {}, `${say(`flag-${key}`)} `), h('span', { lang: theirs() }, text))));
}

export function assumed(store, ask) {
	const { quote } = store;
	if (quote.assumed.length === 0)
		return [];
	return [heading(2, say('assumed')), h('p', {}, say('assumed-gloss')), h('ul', { class: 'assumed' }, quote.assumed.map((row) => {
		const pointer = row.pointer === '/pond/profile' ? '/pond/profile/kind' : row.pointer;
		const field = store.fields.get(pointer);
		const value = typeof row.value === 'number' && row.pointer === '/edge' ? length(row.value) : valueText(store, row.pointer, row.value);
		return h('li', {}, h('div', {}, h('b', {}, `${fieldLabel(fieldOf(store.fields, pointer), pointer)}: ${value}`), ' ', english('span', row.because ?? '')),
			field && field.kind !== 'object' ? h('div', { class: 'screen' }, control(store, pointer, { label: say('answer-it') }))
				: h('button', { type: 'button', class: 'screen', id: `ask${row.pointer}`, click: () => ask(row.pointer) }, say('answer-it')));
	}))];
}

export function notes(store) {
	const part = (key, list) => (list?.length > 0 ? [heading(2, say(key)), h('ul', { lang: theirs() }, list.map((text) => h('li', {}, text)))] : []);
	const { quote } = store;
	return [...part('cautions', quote.cautions), ...part('excluded', quote.excluded), ...part('terms', quote.terms),
		quote.disclaimer ? english('p', quote.disclaimer, { class: 'disclaimer' }) : null];
}

/* ---- bill ---- */

export function bill(store) {
	const { quote } = store;
	const exact = isExact(store);
	const money = (minor) => amount(minor, exact);
	if (!quote.price || quote.sections.length === 0)
		return [];
	const sums = (quote.provisional_sums ?? []).filter((sum) => !sum.in_price && sum.amount_minor !== null);
	return [heading(2, say('bill')), exact ? null : h('p', {}, say('bill-rounded')),
		quote.sections.filter((row) => exact || Math.abs(row.amount_minor) * 2 >= 10 ** quote.minor_digits).map((row) => h('details', { class: 'bill', id: `bill-${row.id}` },
			h('summary', {}, named('sec', row.id, row.title), h('span', { class: 'money' }, money(row.amount_minor))),
			row.lines.length > 0 ? table(row.title, row.lines.map((line) => cells('td', english('span', line.title),
				`${figure(line.quantity)} ${unitName(line.unit)}`, money(line.amount_minor)))) : null)),
		h('dl', { class: 'totals' }, [[say('net'), quote.price.net_minor], ...quote.taxes.map((tax) => [`${say('tax')} ${percent(tax.rate)}`, tax.tax_minor]),
			[say('gross'), quote.price.gross_minor]].map(([name, minor]) => h('div', {}, h('dt', {}, name), h('dd', {}, money(minor))))),
		sums.length > 0 ? [h('h3', {}, say('sums')), h('ul', {}, sums.map((sum) => h('li', {}, `${money(sum.amount_minor)} `, english('span', `${sum.title}: ${sum.because}`))))] : null,
		quote.payment?.length > 0 ? [h('h3', {}, say('payment')), h('ul', {}, quote.payment.map((stage) => h('li', {}, english('span', stage.title),
			`: ${percent(stage.share)}${stage.amount_minor === null || !exact ? '' : `, ${money(stage.amount_minor)}`}`)))] : null];
}

const components = ['material', 'labour', 'hire', 'disposal', 'service'];

/* The owner's view. */
export function costing(store) {
	const own = store.quote.costing;
	if (!own)
		return [];
	const money = (minor) => amount(minor, true);
	const titles = new Map(store.quote.sections.flatMap((row) => row.lines.map((line) => [line.build_up, line.title])));
	return [heading(2, say('costing')), h('dl', { class: 'totals' }, ['direct', 'overhead', 'risk', 'margin'].map((key) => h('div', {},
		h('dt', {}, say(`c:${key}`)), h('dd', {}, money(own[`${key}_minor`])))),
	Object.entries(own.hours).filter(([, hours]) => hours > 0).map(([grade, hours]) => h('div', {}, h('dt', {}, grade), h('dd', {}, `${number(hours, 1)} h`)))),
	table(say('costing'), h('tr', {}, ['line', ...components, 'cost', 'price'].map((key) => h('th', { scope: 'col' }, say(`c:${key}`)))),
		own.lines.map((line) => cells('td', titles.get(line.build_up) ?? line.build_up, ...components.map((key) => money(line[`${key}_minor`])),
			money(line.cost_minor), money(line.amount_minor)))),
	h('h3', {}, say('bought')), h('ul', { class: 'bought' }, own.bought.map((item) => h('li', {}, `${item.title}: ${figure(item.quantity)} ${unitName(item.unit)}, ` +
		`${item.packs.map((pack) => `${pack.count} × ${pack.pack}`).join(', ')}: ${money(item.cost_minor)}`)))];
}

/* ---- side by side ---- */

export function compare(store, choose) {
	const { compare: both, quote } = store;
	if (!both)
		return [];
	const options = both.options;
	const years = options[0]?.years ?? quote.enquiry.service_years ?? 25;
	const missing = '–';
	const money = (minor) => (typeof minor === 'number' ? roundAmount(minor) : missing);
	const rows = [['now', (o) => (o.price ? money(o.price.headline_minor) : say('cannot'))], ['life', (o) => say('years', { n: number(o.service_life_years) })],
		['over', (o) => money(o.cost_over_years_minor)], ['per-year', (o) => money(o.cost_per_year_minor)], ['days', (o) => number(o.on_site_days, 1)],
		['finish', (o) => (o.finish_on ? day(o.finish_on, true) : missing)],
		['carbon', (o) => (o.kgco2e === null || o.kgco2e === undefined ? missing : `${figure(o.kgco2e)} kg`)],
		['suits', (o) => (o.unsuitable ? english('span', `✗ ${o.unsuitable.map((why) => why.why).join(' ')}`) : `✓ ${say('yes')}`)]];
	const title = (o) => store.region?.shells?.find((shell) => shell.id === o.shell)?.title ?? o.shell;
	const marks = (o) => [o.shell === both.cheapest_now ? say('cheapest-now') : '', o.shell === both.cheapest_over_years ? say('cheapest-over') : ''].filter(Boolean).join(', ');
	return [heading(2, say('compare')), h('p', {}, say('compare-gloss', { n: years })), table(say('compare'),
		h('thead', {}, h('tr', {}, h('td', {}), options.map((o) => h('th', { scope: 'col', class: o.shell === quote.shell ? 'chosen' : null }, english('span', title(o)), h('small', {}, marks(o)))))),
		h('tbody', {}, rows.filter(([, show]) => options.some((o) => show(o) !== missing)).map(([key, show]) => cells('td', say(`cmp:${key}`, { n: years }), ...options.map(show)))),
		h('tfoot', { class: 'screen' }, h('tr', {}, h('td', {}), options.map((o) => h('td', {}, o.shell === quote.shell ? `✓ ${say('priced')}`
			: h('button', { type: 'button', id: `shell-${o.shell}`, 'aria-label': `${say('price-this')}: ${title(o)}`, click: () => choose(o.shell) }, say('price-this')))))))];
}

/* ---- when, and the water ---- */

export function works(store) {
	const list = store.quote.programme;
	if (!list || list.tasks.length === 0)
		return [];
	const stopped = list.conditional_on.length > 0;
	const dates = ['start_on', 'water_in_on', 'finish_on'].filter((key) => list[key]).map((key) => say(`p:${key}`, { day: day(list[key]) }));
	return [heading(2, say('works')), h('p', {}, [say('on-site', { days: number(list.on_site_days, 1), visits: list.visits }), ...dates].join(' ')),
		stopped ? h('p', { class: 'notice' }, say('no-dates')) : null, programme(list.tasks)];
}

export function water(store) {
	const { water: own, enquiry } = store.quote;
	if (!own?.duty)
		return own?.choice === 'none-delivers' ? [heading(2, say('pump')), h('p', { class: 'notice' }, say('none-delivers'))] : [];
	const curve = own.curve ?? enquiry.water?.kept_pump?.curve ?? store.region?.pumps?.find((pump) => pump.id === own.pump)?.curve;
	const verdict = own.duty.status === 'no-flow' ? say('no-flow') : own.enough === false ? say('not-enough', { flow: figure(own.demand_l_per_h) })
		: own.enough ? say('enough', { flow: figure(own.demand_l_per_h) }) : '';
	const bores = (own.other_bores ?? []).filter((bore) => bore.flow_l_per_h > 0);
	return [heading(2, say('pump')), h('p', {}, english('b', own.pump_title ?? own.pump), ' ', say('duty', { flow: figure(own.duty.flow_l_per_h), head: number(own.duty.head_m),
		bore: number(own.bore_mm, 1), speed: number(own.duty.velocity_m_s) })), h('p', { class: own.enough === false ? 'notice' : null }, verdict),
	dutyChart(own, curve, Math.min(560, store.width)), dutyKey(own, curve),
	bores.length > 0 ? table(say('bores'), h('caption', {}, say('bores')), bores.map((bore) => cells('td', english('span', bore.title ?? `${number(bore.bore_mm, 1)} mm`), `${figure(bore.flow_l_per_h)} l/h`,
		bore.enough === null ? '' : bore.enough ? `✓ ${say('enough-short')}` : `✗ ${say('too-little')}`))) : null,
	h('p', {}, say('running', { kwh: figure(own.kwh_per_year), cost: amount(own.running_cost_per_year_minor) }))];
}
