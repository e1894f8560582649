/* What all parts of the page share: elements, lengths as typed, words, the service, the enquiry and its fields. */

/* ---- elements: h for HTML, s for SVG ---- */

const isPlain = (value) => Object.getPrototypeOf(value ?? 0) === Object.prototype;

/* A function among the attributes is a listener; null and false leave one out, and are no children either. */
function build(node, kinds, [attributes, ...children]) {
	if (kinds.length > 0)
		node.setAttribute('class', kinds.join(' '));
	for (const [name, value] of isPlain(attributes) ? Object.entries(attributes) : [])
		if (typeof value === 'function')
			node.addEventListener(name, value);
		else if (name === 'value' || name === 'checked')
			node[name] = value;
		else if (value !== null && value !== undefined && value !== false)
			node.setAttribute(name, value === true ? '' : value);
	node.append(...[isPlain(attributes) ? null : attributes, children].flat(Infinity).filter((child) => child || child === 0));
	return node;
}

/* h('p.hint', {id: 'x'}, 'text'): tag and classes, attributes where there are any, children as nested as you like. */
export function h(name, ...rest) {
	const [tag, ...kinds] = name.split('.');
	return build(document.createElement(tag), kinds, rest);
}

export function s(name, ...rest) {
	const [tag, ...kinds] = name.split('.');
	return build(document.createElementNS('http://www.w3.org/2000/svg', tag), kinds, rest);
}

export const button = (text, click, attributes) => h('button', { type: 'button', click, ...attributes }, text);
export const find = (id) => document.getElementById(id);

/* A heading that can take the focus when what was below it has gone. */
export const heading = (text) => h('h2', { tabindex: -1 }, text);

/* Puts new children into a part of the page while someone may be typing there: what has the focus keeps it, with its
 * unfinished text; what was folded out stays so. */
export function refill(part, ...children) {
	const held = part.contains(document.activeElement) ? document.activeElement : null;
	const typed = held?.matches('[type=text]') ? held.value : null;
	const open = [...part.querySelectorAll('details[open]')].map((details) => details.id);

	part.replaceChildren(...children.flat(Infinity).filter(Boolean));
	for (const details of part.querySelectorAll('details'))
		details.open ||= open.includes(details.id);
	const again = held?.id && (find(held.id) ?? part.querySelector('h2'));
	if (again && typed !== null && again.id)
		again.value = typed;
	again?.focus?.({ preventScroll: true });
}

/* Remembers within this tab; a frame on a foreign page may be denied that, and then nothing is remembered. */
export const tab = {
	read(key) {
		try {
			return sessionStorage.getItem(key);
		} catch {
			return null;
		}
	},
	keep(key, value) {
		try {
			sessionStorage.setItem(key, value);
		} catch {
			/* denied: the page works without */
		}
	},
};

/* ---- lengths as people type them: '6', '6,5', '6 m', '1m50', '650 cm', '20ft', "14'6", `5' 6 1/2"` ---- */

const metresOf = { mm: 0.001, cm: 0.01, km: 1000, m: 1, ft: 0.3048, in: 0.0254 };
const spellings = {
	mm: /^(mm|millim[eè]tres?|millimeters?)(?![a-z])/, cm: /^(cm|centim[eè]tres?|centimeters?)(?![a-z])/,
	km: /^(km|kilom[eè]tres?|kilometers?)(?![a-z])/, m: /^(m[eè]tres?|meters?|m)(?![a-z])/,
	ft: /^(feet|foot|ft|pieds?|pi|')(?![a-z'])/, in: /^(inches|inch|in|pouces?|po|")(?![a-z])/,
};
const amountFirst = /^(\d+ \d+\/\d+|\d+\/\d+|\d+(?:\.\d*)?|\.\d+)/;

const plain = (text) => text.trim().toLowerCase().replace(/[′’‘`´]/g, "'").replace(/[″”“]|''/g, '"')
	.replace(/½/g, ' 1/2').replace(/¼/g, ' 1/4').replace(/¾/g, ' 3/4')
	.replace(/(\d),(\d)/g, '$1.$2').replace(/[\s\u00a0\u202f]+/g, ' ').trim();

const amountValue = (text) => text.split(' ').reduce((sum, part) => {
	const [top, bottom = 1] = part.split('/');
	return sum + top / bottom;
}, 0);

const isImperial = (unit) => unit === 'ft' || unit === 'in';

/* What a number without a unit means after another length: 14'6 has inches, 1m50 has centimetres. */
const unitAfter = (before, digits) => (before === 'ft' ? 'in' : before === 'm' && /^\d\d$/.test(digits) ? 'cm' : null);

/* Metres to a tenth of a millimetre, or null for what can't be read. A bare number is in `unit`. */
export function readLength(text, unit) {
	let rest = plain(text);
	let before = null;
	let sum = 0;

	while (rest !== '') {
		const digits = rest.match(amountFirst)?.[1];
		if (digits === undefined)
			return null;
		rest = rest.slice(digits.length).trimStart();
		const [spelt, pattern] = Object.entries(spellings).find(([, spelling]) => spelling.test(rest)) ?? [];
		const own = spelt ?? (before ? unitAfter(before, digits) : rest === '' && unit);
		if (!own || (before && (metresOf[own] >= metresOf[before] || isImperial(own) !== isImperial(before))))
			return null;
		rest = rest.replace(pattern, '').trimStart();
		sum += amountValue(digits) * metresOf[own];
		before = own;
	}
	return before && Number.isFinite(sum) ? Math.round(sum * 1e4) / 1e4 : null;
}

/* A number with a point or a comma, or null. */
export function readNumber(text) {
	const clean = plain(text).replace(/ ?%$/, '').replace(/(\d) (?=\d{3}(\D|$))/g, '$1').replace(',', '.');
	return /^-?(\d+(\.\d*)?|\.\d+)$/.test(clean) ? Number(clean) : null;
}

/* Feet and whole inches. */
export function feetAndInches(metres) {
	const inches = Math.round(metres / metresOf.in);
	const feet = Math.trunc(inches / 12);
	const rest = inches - feet * 12;
	return `${feet ? `${feet}′` : ''}${feet && rest ? ' ' : ''}${rest || !feet ? `${rest}″` : ''}`;
}

/* ---- words, numbers, money, days: one language at a time ---- */

export const languages = { en: 'English', fr: 'Français' };
let texts = {};
let language = 'en';
let locale = 'en';
let money = { currency: 'GBP', digits: 2 };
let units = 'm';

/* Of what the reader prefers, the first that we speak. */
export function chooseLanguage(wanted) {
	return wanted.map((tag) => tag?.slice(0, 2).toLowerCase()).find((tag) => languages[tag]) ?? 'en';
}

/* Lines of 'key = text'; one that begins with a tab goes on with the text above. */
export const readWords = (file) => Object.fromEntries(file.trim().replaceAll('\n\t', ' ').split('\n').map((line) => line.split(/ = (.*)/)));

export async function loadWords(chosen) {
	texts = readWords(await (await fetch(`/words.${chosen}.txt`)).text());
	language = chosen;
	locale = navigator.languages.find((tag) => tag.startsWith(chosen)) ?? chosen;
	document.documentElement.lang = chosen;
}

export const spoken = () => language;
export const lengthUnit = () => units;
export const setMoney = (currency, digits) => (money = { currency, digits });
export const setUnits = (chosen) => (units = chosen);
export const hasText = (key) => Object.hasOwn(texts, key);

/* Texts of the configuration are in English whatever the page speaks; assistive technology is told so. */
export const theirs = () => (language === 'en' ? null : 'en');
export const english = (tag, text, attributes) => h(tag, { lang: theirs(), ...attributes }, text);

/* '{name}' in a text is replaced by the value of that name; a text that is missing shows its key, so that it is seen. */
export const say = (key, values = {}) => (texts[key] ?? key).replace(/\{(\w+)\}/g, (_, name) => values[name] ?? '');

const lastName = (pointer) => pointer.slice(pointer.lastIndexOf('/') + 1);

/* A language that is not the schema's own gives labels and words by list, in the schema's order. A list that is not
 * as long as what it names is of another schema, and is not used. A list that is the name of another is the same. */
function inList(list, index, count) {
	const own = (texts[texts[list]] ?? texts[list] ?? '').split('; ');
	return own.length === count ? own[index] : undefined;
}

/* field.among: its object's name, its place in it, how many there are. */
export const fieldLabel = (field, pointer) => texts[`f:${pointer}`] ?? (field?.among && inList(`labels.${field.among[0]}`, field.among[1], field.among[2])) ??
	field?.help.split(/[;:] /)[0] ?? pointer;

/* A word of a list as people say it: ours, else the configuration's, else the word itself. */
export function wordTitle({ pointer, listName = lastName(pointer), words }, word, titles) {
	const own = (list) => inList(`words.${list}`, words?.indexOf(word), words?.length);
	return texts[`w:${listName}.${word}`] ?? own(pointer.slice(1)) ?? own(listName) ??
		texts[`w:${word}`] ?? titles?.find((row) => row.word === word)?.title ?? word.replaceAll('-', ' ');
}

export const unitName = (unit) => texts[`u:${unit}`] ?? unit;

/* Formatters cost more to make than to use. */
const formatters = new Map();

function format(kind, options, value) {
	const key = locale + JSON.stringify(options);
	if (!formatters.has(key))
		formatters.set(key, new kind(locale, options));
	return formatters.get(key).format(value);
}

const digits = (options, value) => format(Intl.NumberFormat, options, value);
export const number = (value, most = 2) => digits({ maximumFractionDigits: most }, value);
/* Three figures that count. */
export const figure = (value) => digits({ maximumSignificantDigits: Math.abs(value) >= 1000 ? 4 : 3 }, value);
/* As it would be typed: no grouping, so that it can be read back. */
export const typedNumber = (value) => digits({ maximumFractionDigits: 6, useGrouping: false }, value);
export const percent = (share) => digits({ style: 'percent', maximumFractionDigits: 1 }, share);
export const length = (metres) => (units === 'ft' ? feetAndInches(metres) : `${number(metres)}\u00a0m`);
export const area = (m2) => (units === 'ft' ? `${figure(m2 / 0.09290304)}\u00a0ft²` : `${figure(m2)}\u00a0m²`);

/* To the smallest coin, or to the whole unit. */
export function amount(minor, exact) {
	const places = exact ? money.digits : 0;
	return digits({ style: 'currency', currency: money.currency, currencyDisplay: 'narrowSymbol', minimumFractionDigits: places,
		maximumFractionDigits: places }, minor / 10 ** money.digits);
}

/* To two or three figures, as one says an estimate: 4,650; 12,500. */
export function roundAmount(minor) {
	const whole = minor / 10 ** money.digits;
	const step = Math.max(1, 10 ** Math.max(0, Math.floor(Math.log10(Math.max(1, Math.abs(whole)))) - 1) / 2);
	return amount(Math.round(whole / step) * step * 10 ** money.digits, false);
}

const date = (options, iso) => format(Intl.DateTimeFormat, { timeZone: 'UTC', ...options }, new Date(`${iso}T00:00:00Z`));
export const day = (iso) => date({ day: 'numeric', month: 'long', year: 'numeric' }, iso);
export const shortDay = (iso) => date({ day: 'numeric', month: 'short' }, iso);
export const monthName = (month) => date({ month: 'long' }, `2026-${String(month).padStart(2, '0')}-01`);

/* ---- the service: of each kind of request the newest alone counts, and one that fails is tried again ---- */

const pauses_ms = [1000, 2000, 4000, 8000];
const patience_ms = 20000;
const running = new Map();

export class Superseded extends Error {}
export class GaveUp extends Error {}

/* The reply, or null where trying again may help. */
async function attempt(path, options, signal) {
	try {
		const reply = await fetch(path, { ...options, signal: AbortSignal.any([signal, AbortSignal.timeout(patience_ms)]) });
		return reply.status >= 500 || [408, 429].includes(reply.status) ? null
			: { status: reply.status, body: await reply.json().catch(() => null) };
	} catch {
		return null;
	}
}

/* Resolves with {status, body}. Rejects with Superseded when a newer request of the same path took over, or with
 * GaveUp. waiting(seconds, tryNow) is called before each further try. */
export async function ask(path, waiting, options) {
	const own = new AbortController();
	running.get(path)?.abort();
	running.set(path, own);
	for (const pause_ms of [...pauses_ms, null]) {
		const reply = await attempt(path, options, own.signal);
		if (own.signal.aborted)
			throw new Superseded();
		if (reply)
			return reply;
		if (pause_ms === null)
			break;
		await new Promise((resolve) => {
			setTimeout(resolve, pause_ms);
			own.signal.addEventListener('abort', resolve);
			waiting(pause_ms / 1000, resolve);
		});
		if (own.signal.aborted)
			throw new Superseded();
	}
	throw new GaveUp();
}

export function post(path, body, token, waiting) {
	const headers = { 'content-type': 'application/json', ...(token && { authorization: `Bearer ${token}` }) };
	return ask(path, waiting, { method: 'POST', headers, body: JSON.stringify(body) });
}

/* ---- the enquiry as an object addressed by JSON pointers, and the address that holds all of it ---- */

const isThing = (value) => typeof value === 'object' && value !== null && !Array.isArray(value);
const names = (pointer) => pointer.slice(1).split('/').map((name) => name.replaceAll('~1', '/').replaceAll('~0', '~'));

export const get = (object, pointer) => names(pointer).reduce((value, name) => value?.[name], object);

/* Undefined takes the member away. */
export function set(object, pointer, value) {
	const path = names(pointer);
	const last = path.pop();
	let holder = object;

	for (const name of path) {
		if (typeof holder[name] !== 'object' || holder[name] === null) {
			if (value === undefined)
				return;
			holder[name] = {};
		}
		holder = holder[name];
	}
	if (value === undefined)
		delete holder[last];
	else
		holder[last] = value;
}

/* Things whose presence says something, even with nothing in them. */
const things = ['', '/old_pond', '/stream', '/water/kept_pump', '/pond', '/pond/outline', '/old_pond/outline'];

/* The enquiry without brackets around nothing. */
export function pruned(value, pointer = '') {
	if (!isThing(value))
		return value;
	const kept = Object.entries(value).map(([name, member]) => [name, pruned(member, `${pointer}/${name}`)])
		.filter(([, member]) => member !== undefined);
	return kept.length > 0 || things.includes(pointer) ? Object.fromEntries(kept) : undefined;
}

export const emptyState = () => ({ enquiry: {}, typed: {}, unsure: [], units: null, pinned: null, reference: null });

/* One letter a part: enquiry, typed texts that a number alone would not give back, questions answered with
 * 'not sure', units, what pins the quote to its day, its reference; written as base64url. */
export function writeAddress({ enquiry, typed, unsure, units: unit, pinned, reference }) {
	const given = { e: pruned(enquiry), t: typed, n: unsure, u: unit, p: pinned, r: reference };
	const held = Object.entries(given).filter(([key, part]) => key === 'e' || (part && Object.keys(part).length > 0));
	const bytes = new TextEncoder().encode(JSON.stringify(Object.fromEntries(held)));
	return btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(''))
		.replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');
}

/* Null for what is no address of ours: anyone can write one. */
export function readAddress(fragment) {
	try {
		const binary = atob(fragment.slice(1).replaceAll('-', '+').replaceAll('_', '/'));
		const { e, t, n, u, p, r } = JSON.parse(new TextDecoder().decode(Uint8Array.from(binary, (char) => char.charCodeAt(0))));
		return isThing(e) ? {
			enquiry: e, typed: isThing(t) ? t : {}, unsure: Array.isArray(n) ? n.filter((pointer) => typeof pointer === 'string') : [],
			units: ['m', 'ft'].includes(u) ? u : null, pinned: isThing(p) ? p : null, reference: typeof r === 'string' ? r : null,
		} : null;
	} catch {
		return null;
	}
}

/* ---- the fields of the enquiry, as the service's own schema describes them ---- */

function leafOf(node) {
	if (node.enum)
		return { kind: 'choice', words: node.enum };
	if (Array.isArray(node.type) || node.type === 'number' || node.type === 'integer')
		return { kind: 'number', lo: node.minimum, hi: node.maximum };
	if (node.type === 'boolean')
		return { kind: 'yesno' };
	if (node.type === 'string')
		return { kind: 'date' };
	if (node.type === 'object')
		return { kind: 'tally', words: Object.keys(node.properties ?? {}) };
	if (node.items?.enum)
		return { kind: 'set', words: node.items.enum.filter((word) => word !== 'unknown') };
	return node.maxItems === 2 ? { kind: 'months' } : { kind: 'list', columns: columnsOf(node.items) };
}

/* What an entry of a list holds, in order: without names where an entry is a list itself. */
function columnsOf({ prefixItems, properties }) {
	return prefixItems ? prefixItems.map((cell) => ({ help: cell.description }))
		: Object.entries(properties).map(([name, cell]) => ({ name, help: cell.description, words: cell.enum }));
}

/* Objects of the enquiry say which members they require; an object that does not counts things by word. The member
 * that decides the kind of an object stands in each of its branches with one word. */
function walk(fields, pointer, node) {
	const branches = node.properties ? [node] : node.oneOf;
	const own = [];

	for (const branch of branches)
		for (const [name, child] of Object.entries(branch.properties)) {
			const at = `${pointer}/${name}`;
			if ((child.oneOf ?? [child])[0].required) {
				fields.set(at, { pointer: at, kind: 'object', help: child.description });
				walk(fields, at, child);
				continue;
			}
			const known = fields.get(at);
			const leaf = child.anyOf?.[0] ?? child;
			const words = child.const && [...(known?.words ?? []), child.const];
			own.push(at);
			fields.set(at, {
				pointer: at, help: child.description, unit: child['x-unit'] ?? '', leftOut: child['x-if-left-out'], usual: child.default,
				mayBeUnknown: child.anyOf?.some((other) => other.const === 'unknown'), ...(words ? { kind: 'choice', words, listName: lastName(pointer) } : leafOf(leaf)),
			});
		}
	const once = [...new Set(own)];
	once.forEach((at, i) => (fields.get(at).among = [lastName(pointer), i, once.length]));
}

/* A map from pointer to field, in the order of the schema. */
export function readSchema(schema) {
	const fields = new Map();
	walk(fields, '', schema);
	return fields;
}

/* The field with the longest pointer that the given one lies in: '/stream/cascades/0/width_m' is of '/stream/cascades'. */
export function fieldOf(fields, pointer) {
	for (let at = pointer; at !== ''; at = at.slice(0, at.lastIndexOf('/')))
		if (fields.has(at))
			return fields.get(at);
	return null;
}

export const isLength = (field) => field.unit === 'm' && field.kind === 'number';

/* ---- outlines seen from above as rings of points ---- */

const ellipse = (length_m, width_m, count) => Array.from({ length: count }, (_, i) => {
	const turn = (2 * Math.PI * i) / count;
	return [(length_m / 2) * (1 - Math.cos(turn)), (width_m / 2) * (1 - Math.sin(turn))];
});

/* A rectangle whose corners are quarter circles; a stadium is one with the greatest radius. */
function rounded(length_m, width_m, radius_m) {
	const corners = [[length_m, width_m], [0, width_m], [0, 0], [length_m, 0]];
	const steps = radius_m > 0 ? 8 : 0;
	return corners.flatMap(([x, y], quarter) => Array.from({ length: steps + 1 }, (_, i) => {
		const turn = (Math.PI / 2) * (quarter + i / (steps || 1));
		return [x + (x ? -radius_m : radius_m) + radius_m * Math.cos(turn), y + (y ? -radius_m : radius_m) + radius_m * Math.sin(turn)];
	}));
}

/* The ring of an outline of the enquiry, y upwards, or null where it is not whole yet. */
export function ringOf(outline, count = 72) {
	const { kind, points_m: points, diameter_m: diameter, length_m: long = diameter, width_m: wide = diameter, corner_radius_m: radius = 0 } = outline ?? {};

	if (kind === 'polygon')
		return points?.length >= 3 ? points : null;
	if (!(long > 0) || !(wide > 0))
		return null;
	return kind === 'ellipse' || kind === 'circle' ? ellipse(long, wide, count)
		: rounded(long, wide, Math.min(kind === 'stadium' ? Infinity : radius, long / 2, wide / 2));
}

export function ringArea_m2(ring) {
	return Math.abs(ring.reduce((sum, [x, y], i) => {
		const [nextX, nextY] = ring[(i + 1) % ring.length];
		return sum + x * nextY - nextX * y;
	}, 0)) / 2;
}

export function ringBox(ring) {
	const [left, bottom] = [0, 1].map((k) => Math.min(...ring.map((point) => point[k])));
	const [right, top] = [0, 1].map((k) => Math.max(...ring.map((point) => point[k])));
	return { left, bottom, top, wide: right - left, high: top - bottom };
}

const side = (a, b, c) => Math.sign((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]));

/* The first two edges that cross, by the number of their first corner, or null. */
export function crossing(ring) {
	const n = ring.length;
	for (let i = 0; i < n; i++)
		for (let j = i + 2; j < Math.min(n, n - 1 + i); j++) {
			const [a, b, c, d] = [ring[i], ring[i + 1], ring[j], ring[(j + 1) % n]];
			if (side(a, b, c) !== side(a, b, d) && side(c, d, a) !== side(c, d, b))
				return [i, j];
		}
	return null;
}
