/* The page: holds the enquiry, asks the service, shows the answer. Nothing is kept but in the address. */
import { emptyState, get, pruned, readAddress, set, writeAddress } from './address.js';
import * as answer from './answer.js';
import { hasControl, refreshControls } from './controls.js';
import { find, h, refill, tab } from './dom.js';
import { fieldOf, readSchema } from './fields.js';
import { allFields, firstQuestions, nextQuestion, questionCard } from './form.js';
import { readLength } from './lengths.js';
import * as service from './service.js';
import { amount, chooseLanguage, day, fieldLabel, hasText, languages, loadWords, roundAmount, say, setMoney, setUnits, spoken } from './words.js';

const desk = document.body.dataset.way === 'desk';
const framed = window.parent !== window;
const pause_ms = desk ? 60 : 250;  /* after a key, before the service is asked */
const later_ms = desk ? 200 : 300; /* after that, before it is asked what takes longer */
const pins = ['edition', 'issued_on', 'start_on'];

const store = {
	desk, state: emptyState(), fields: new Map(), regions: [], region: null, quote: null, range: null, compare: null, screen: null,
	problems: new Map(), unreadable: new Map(), token: '', asked: [], reach: null, missing: new Set(), width: 320,
	hasControl, give, changeUnits,
	units: () => store.state.units ?? (store.region?.units === 'us' ? 'ft' : 'm'),
};
let timer = 0;

/* ---- the enquiry ---- */

/* The enquiry as it is sent: with the days of the quote that the address was opened with, until something changes. */
function enquiry() {
	return { ...(store.state.pinned ?? {}), ...pruned(store.state.enquiry) };
}

function isWhole() {
	const outline = get(store.state.enquiry, '/pond/outline');
	const measured = outline && (outline.points_m || outline.diameter_m || (outline.length_m && outline.width_m));
	const deep = get(store.state.enquiry, '/pond/depth_m') || get(store.state.enquiry, '/pond/profile/kind') === 'stepped';
	return Boolean((measured && deep) || store.state.enquiry.work === 'stream') && store.unreadable.size === 0;
}

function keepAddress() {
	history.replaceState(null, '', `#${writeAddress(store.state)}`);
}

/* A field has a new value, or a text that can't be read. */
function give(pointer, value, unreadable) {
	set(store.state.enquiry, pointer, value);
	if (typeof value === 'object' || value === undefined)
		for (const typed of Object.keys(store.state.typed))
			if (typed.startsWith(`${pointer}/`))
				delete store.state.typed[typed];
	if (unreadable)
		store.unreadable.set(pointer, unreadable);
	else
		store.unreadable.delete(pointer);
	store.state.pinned = store.state.reference = null;
	store.problems = new Map([...store.unreadable].map(([at, text]) => [at, [text]]));
	changed(pointer);
}

async function changed(pointer) {
	keepAddress();
	if (pointer === '/region')
		await readRegion();
	refreshControls();
	clearTimeout(timer);
	if (isWhole() && (desk || store.quote))
		timer = setTimeout(() => submit(false), pause_ms);
	if (desk)
		showNext();
}

/* Typed lengths that could be read are written anew in the other unit. */
function changeUnits(units) {
	for (const [pointer, text] of Object.entries(store.state.typed))
		if (store.fields.get(pointer)?.unit === 'm' && readLength(text, store.units()) !== null)
			delete store.state.typed[pointer];
	store.state.units = units;
	setUnits(units);
	keepAddress();
	refreshControls();
	if (store.quote)
		showAnswer();
}

/* ---- asking ---- */

function status(...children) {
	find('status').replaceChildren(...children);
}

function waiting(seconds, tryNow) {
	status(say('trying-again', { seconds }), ' ', h('button', { type: 'button', click: tryNow }, say('try-now')));
	find('status').className = 'status trouble';
}

function gaveUp(again) {
	status(say('gave-up'), ' ', h('button', { type: 'button', click: again }, say('try-now')));
	find('status').className = 'status trouble';
}

/* The reply, or null where it is out of date or out of reach. */
async function ask(request, again) {
	try {
		return await request();
	} catch (error) {
		if (error instanceof service.GaveUp)
			gaveUp(again);
		else if (!(error instanceof service.Superseded))
			throw error;
		return null;
	}
}

/* loud: somebody pressed the button, so what is missing is said, and the answer is brought into view. */
async function submit(loud) {
	clearTimeout(timer);
	const before = store.quote;
	const reply = await ask(() => service.post('/v1/quote', enquiry(), store.token, waiting), () => submit(loud));
	if (!reply)
		return;
	find('status').className = 'status';
	if (reply.status !== 200) {
		showProblems(reply, loud);
		return;
	}
	store.problems = new Map();
	store.quote = reply.body;
	if (!before || loud)
		store.range = null;
	setMoney(store.quote.currency, store.quote.minor_digits);
	store.changed = store.state.reference && store.state.reference !== store.quote.reference ? store.state.reference : null;
	store.state.pinned = Object.fromEntries(pins.map((name) => [name, store.quote.enquiry[name]]));
	store.state.reference = store.quote.reference;
	keepAddress();
	refreshControls();
	showAnswer();
	if (loud)
		find('price').querySelector('h2').focus();
	setTimeout(() => store.quote === reply.body && askMore(), later_ms);
}

/* What takes longer, or what an older service does not know: then the page does without. */
async function askMore() {
	const quote = store.quote;
	const own = Object.assign({}, quote.enquiry);
	for (const [name, show] of [['range', showPrice], ['compare', showCompare], ['screen', () => {}]]) {
		if (store.missing.has(name))
			continue;
		const body = own;
		const reply = await ask(() => service.post(`/v1/${name}`, body, null, waiting), askMore);
		if (store.quote !== quote)
			return;
		if (reply?.status === 404)
			store.missing.add(name);
		if (name === 'range' && store.missing.has('range'))
			showNext();
		if (reply?.status !== 200)
			continue;
		store[name] = reply.body;
		show();
		find('status').className = 'status';
	}
	showNext();
}

function showProblems(reply, loud) {
	const errors = reply.body?.errors ?? [];
	const rows = new Map(store.unreadable.size > 0 ? [...store.unreadable].map(([at, text]) => [at, [text]]) : []);
	for (const error of errors)
		rows.set(error.pointer, [...(rows.get(error.pointer) ?? []), problemText(error)]);
	store.problems = rows;
	refreshControls();
	const strays = errors.filter((error) => !hasControl(error.pointer) && !hasControl(fieldOf(store.fields, error.pointer)?.pointer));
	status(say(errors.length > 0 ? 'problems' : 'refused', { n: errors.length, detail: reply.body?.detail ?? reply.status }),
		strays.length > 0 ? h('ul', {}, strays.map((error) => h('li', {}, `${error.pointer} `, problemText(error)))) : '');
	find('status').className = 'status trouble';
	document.body.classList.toggle('stale', Boolean(store.quote));
	if (loud)
		(document.querySelector('[aria-invalid]') ?? find('status')).focus();
}

function problemText(error) {
	const field = fieldOf(store.fields, error.pointer);
	const text = `err:${error.code}`;
	return hasText(text) ? say(text, { lo: field?.lo, hi: field?.hi, unit: field?.unit }) : error.detail;
}

/* ---- showing ---- */

const showPrice = () => {
	refill(find('price'), answer.price(store), answer.stamp(store));
	const price = store.quote.price;
	const text = !price ? say('cannot') : store.range?.gross ? say('range-said', Object.fromEntries(['low', 'likely', 'high'].map((key) => [key, roundAmount(store.range.gross[`${key}_minor`])])))
		: say('about', { price: amount(price.headline_minor) });
	status(text, store.changed ? ` ${say('changed-since', { before: store.changed, now: store.quote.reference })}` : '',
		' ', store.quote.issued_on === new Date().toISOString().slice(0, 10) ? '' : h('button', { type: 'button', click: renew }, say('renew', { day: day(store.quote.issued_on) })));
};

const showCompare = () => refill(find('compare'), answer.compare(store, (shell) => give('/shell', shell)));

function renew() {
	store.state.pinned = store.state.reference = null;
	submit(true);
}

function showAnswer() {
	document.body.classList.remove('stale');
	document.body.classList.add('answered');
	document.body.classList.toggle('is-invented', Boolean(store.quote.invented));
	document.body.dataset.invented = say('invented');
	store.width = Math.max(240, find('price').clientWidth - 2);
	showPrice();
	for (const [id, children] of [['drawings', answer.drawings(store)], ['flags', answer.flags(store)], ['bill', answer.bill(store)],
		['costing', answer.costing(store)], ['works', answer.works(store)], ['water', answer.water(store)],
		['assumed', answer.assumed(store, askAbout)], ['notes', answer.notes(store)]])
		refill(find(id), children);
	if (store.compare)
		showCompare();
	refill(find('sheet'), sheetTools());
	if (!find('next').contains(document.activeElement))
		showNext();
	tellFrame();
}

function showNext(forced) {
	const question = forced ?? (store.quote ? nextQuestion(store) : null);
	const part = find('next');
	if (part.dataset.pointer === question?.pointer && part.childElementCount > 0)
		return;
	part.dataset.pointer = question?.pointer ?? '';
	const back = store.asked.length > 0 ? () => {
		const pointer = store.asked.pop();
		store.state.unsure = store.state.unsure.filter((other) => other !== pointer);
		showNext({ pointer });
		part.querySelector('h2').focus();
	} : null;
	part.replaceChildren(...(question ? questionCard(store, question, (how) => done(question.pointer, how), back).flat(Infinity)
		: store.quote ? [h('h2', { tabindex: -1 }, say('all-asked')), h('p', {}, say('all-asked-gloss'))] : []));
	tellFrame();
}

/* The question is over; the service, asked anew, says which is the next. */
function done(pointer, how) {
	store.asked.push(pointer);
	if (how || get(store.state.enquiry, pointer) === undefined)
		store.state.unsure = [...new Set([...store.state.unsure, pointer])];
	if (how === 'no')
		give(pointer, undefined);
	keepAddress();
	showNext();
	find('next').querySelector('h2')?.focus();
}

function askAbout(pointer) {
	const row = store.quote.assumed.find((one) => one.pointer === pointer);
	showNext({ ...row });
	find('next').scrollIntoView();
	find('next').querySelector('h2').focus();
}

/* What goes on the paper beside the answer: name and address stay in this tab. */
function sheetTools() {
	const line = (key) => h('label', {}, say(key === 'name' ? 'name-label' : key), h('input', { type: 'text', id: `paper-${key}`, autocomplete: key === 'name' ? 'name' : 'street-address', value: tab.read(key) ?? '',
		input: (event) => {
			tab.keep(key, event.target.value);
			find('for-whom').textContent = [tab.read('name'), tab.read('place')].filter(Boolean).join(', ');
		} }));
	find('link').replaceChildren(h('a', { href: location.href }, location.href));
	find('for-whom').textContent = [tab.read('name'), tab.read('place')].filter(Boolean).join(', ');
	find('firm').textContent = store.region?.firm ?? '';
	return [h('h2', {}, say('paper')), h('p', {}, say('paper-gloss')), h('div', { class: 'fields' }, line('name'), line('place')),
		h('div', { class: 'asides' }, h('button', { type: 'button', class: 'main', click: () => window.print() }, say('print')),
			h('button', { type: 'button', id: 'copy', click: copyLink }, say('copy-link')))];
}

async function copyLink() {
	try {
		await navigator.clipboard.writeText(location.href);
		status(say('copied'));
	} catch {
		status(say('copy-by-hand'));
	}
}

/* A page that frames this one makes the frame as high as what is in it. */
function tellFrame() {
	if (framed)
		window.parent.postMessage({ pondwright: Math.ceil(document.documentElement.getBoundingClientRect().height) }, '*');
}

/* ---- starting ---- */

async function readRegion() {
	const id = store.state.enquiry.region;
	const reply = await ask(() => service.read(`/v1/regions/${encodeURIComponent(id)}`, waiting), readRegion);
	if (reply?.status === 200)
		store.region = reply.body;
	setUnits(store.units());
	if (store.region)
		setMoney(store.region.currency, store.region.minor_digits);
}

function drawForm() {
	for (const node of document.querySelectorAll('[data-say]'))
		node.textContent = say(node.dataset.say);
	document.title = say(desk ? 'desk-title' : 'title');
	find('language').replaceChildren(...languages.map((code) => h('button', { type: 'button', lang: code, 'aria-pressed': String(code === spoken()), click: () => speak(code) }, { en: 'English', fr: 'Français' }[code])));
	find('first').replaceChildren(...firstQuestions(store).filter(Boolean));
	find('all').replaceChildren(...allFields(store, desk));
	delete find('next').dataset.pointer;
	find('next').replaceChildren();
}

async function speak(code) {
	tab.keep('language', code);
	await loadWords(code);
	drawForm();
	if (store.quote) {
		showAnswer();
		showNext();
	}
}

function open(state) {
	const usual = store.usual;
	store.state = state ?? emptyState();
	store.state.enquiry.region ??= usual;
	if (store.state.enquiry.work !== 'stream') {
		store.state.enquiry.pond ??= {};
		store.state.enquiry.pond.outline ??= { kind: 'ellipse' };
	}
	Object.assign(store, { quote: null, range: null, compare: null, screen: null, asked: [], reach: null, problems: new Map(), unreadable: new Map() });
	for (const [pointer, text] of Object.entries(store.state.typed))
		if (get(store.state.enquiry, pointer) === undefined && text !== '') {
			store.unreadable.set(pointer, say('unreadable'));
			store.problems.set(pointer, [say('unreadable')]);
		}
}

async function start() {
	const words = loadWords(chooseLanguage(navigator.languages, tab.read('language')));
	const [regions, schema] = await Promise.all([
		ask(() => service.read('/v1/regions', waiting), start), ask(() => service.read('/v1/enquiry-schema', waiting), start), words]);
	if (!regions || !schema)
		return;
	store.regions = regions.body.regions;
	store.usual = regions.body.default_region;
	store.fields = readSchema(schema.body);
	const frame = new URLSearchParams(location.search);
	if (store.regions.some((region) => region.id === frame.get('region')))
		store.usual = frame.get('region');
	await openAddress();
}

async function openAddress() {
	open(readAddress(location.hash));
	await readRegion();
	drawForm();
	document.body.classList.add('ready');
	tellFrame();
	if (isWhole())
		await submit(false);
}

find('form').addEventListener('submit', (event) => {
	event.preventDefault();
	submit(true);
});
find('token')?.addEventListener('change', (event) => {
	store.token = event.target.value.trim();
	if (store.quote)
		submit(false);
});
document.querySelector('.skip').addEventListener('click', (event) => {
	event.preventDefault();
	find('main').focus();
});
window.addEventListener('hashchange', () => readAddress(location.hash) && openAddress());
let widthBefore = 0;
new ResizeObserver(() => {
	const width = find('price').clientWidth;
	if (store.quote && width > 0 && Math.abs(width - widthBefore) > 8) {
		widthBefore = width;
		showAnswer();
	}
}).observe(find('price'));
document.documentElement.classList.toggle('framed', framed);
start();
