/* The page: holds the enquiry, asks the service, shows the answer. Nothing is kept but in the address. */
import * as answer from './answer.js';
import { Superseded, GaveUp, amount, ask as askService, button, chooseLanguage, day, emptyState, fieldOf, find, get, h, hasText, heading, languages, loadWords, post,
	pruned, readAddress, readLength, readSchema, refill, roundAmount, say, set, setMoney, setUnits, spoken, tab, writeAddress } from './basics.js';
import { allFields, firstQuestions, hasControl, nextQuestion, questionCard, refreshControls } from './form.js';

const desk = location.pathname === '/desk';
const framed = window.parent !== window;
const pause_ms = desk ? 60 : 250;  /* after a key, before the service is asked */
const later_ms = desk ? 200 : 300; /* after that, before it is asked what takes longer */
const rows_most = 64;
const pins = ['edition', 'issued_on', 'start_on'];

const store = {
	desk, state: emptyState(), fields: new Map(), token: '', missing: new Set(), width: 320, give, changeUnits,
	units: () => store.state.units ?? (store.region?.units === 'us' ? 'ft' : 'm'),
};
let timer = 0;

/* ---- the enquiry ---- */

/* As it is sent: with the days of the quote that the address was opened with, until something changes. */
const enquiry = () => ({ ...store.state.pinned, ...pruned(store.state.enquiry) });

function isWhole() {
	const { outline, profile, depth_m: deep } = store.state.enquiry.pond ?? {};
	const measured = outline?.points_m || outline?.diameter_m || (outline?.length_m && outline.width_m);
	return Boolean((measured && (deep || profile?.kind === 'stepped')) || store.state.enquiry.work === 'stream') && store.unreadable.size === 0;
}

const keepAddress = () => history.replaceState(null, '', `#${writeAddress(store.state)}`);
const unpin = () => (store.state.pinned = store.state.reference = null);
const unreadableProblems = () => new Map([...store.unreadable].map((pointer) => [pointer, [say('unreadable')]]));

/* A field has a new value, or a text that can't be read. */
async function give(pointer, value, unreadable) {
	set(store.state.enquiry, pointer, value);
	if (typeof value === 'object' || value === undefined)
		for (const typed of Object.keys(store.state.typed))
			if (typed.startsWith(`${pointer}/`))
				delete store.state.typed[typed];
	store.unreadable[unreadable ? 'add' : 'delete'](pointer);
	store.problems = unreadableProblems();
	unpin();
	keepAddress();
	if (pointer === '/region')
		await readRegion();
	refreshControls();
	clearTimeout(timer);
	if (isWhole() && (desk || store.quote))
		timer = setTimeout(submit, pause_ms);
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

function status(trouble, ...children) {
	const part = find('status');
	part.className = trouble ? 'status trouble' : 'status';
	part.replaceChildren(...children);
}

const waiting = (seconds, tryNow) => status(true, say('trying-again', { seconds }), ' ', button(say('try-now'), tryNow));

/* The reply, or null where it is out of date or out of reach; again() is how it is asked for anew. */
async function reached(request, again) {
	try {
		return await request;
	} catch (error) {
		if (error instanceof GaveUp)
			status(true, say('gave-up'), ' ', button(say('try-now'), again));
		else if (!(error instanceof Superseded))
			throw error;
		return null;
	}
}

/* loud: somebody pressed the button, so what is missing is said, and the answer is brought into view. */
async function submit(loud) {
	clearTimeout(timer);
	const before = store.quote;
	const reply = await reached(post('/v1/quote', enquiry(), store.token, waiting), () => submit(loud));
	if (!reply)
		return;
	if (reply.status !== 200) {
		showProblems(reply, loud);
		return;
	}
	const quote = store.quote = reply.body;
	const { state } = store;
	store.problems = new Map();
	if (!before || loud)
		store.range = null;
	setMoney(quote.currency, quote.minor_digits);
	store.changed = state.reference && state.reference !== quote.reference ? state.reference : null;
	state.pinned = Object.fromEntries(pins.map((name) => [name, quote.enquiry[name]]));
	state.reference = quote.reference;
	keepAddress();
	refreshControls();
	showAnswer();
	if (loud)
		find('price').querySelector('h2').focus();
	setTimeout(() => store.quote === quote && askMore(), later_ms);
}

/* What takes longer, or what an older service does not know: then the page does without. */
async function askMore() {
	const { quote } = store;
	for (const [name, show] of [['range', showPrice], ['compare', showCompare], ['screen', () => {}]]) {
		const body = name === 'compare' && store.wantsGrid ? { ...quote.enquiry, grid: true } : quote.enquiry;
		const reply = store.missing.has(name) ? null : await reached(post(`/v1/${name}`, body, null, waiting), askMore);
		if (store.quote !== quote)
			return;
		if (reply?.status === 404)
			store.missing.add(name);
		if (reply?.status !== 200)
			continue;
		store[name] = reply.body;
		show();
	}
	showNext();
}

function showProblems({ status: code, body }, loud) {
	const errors = body?.errors ?? [];
	const texts = (error) => {
		const field = fieldOf(store.fields, error.pointer) ?? {};
		return hasText(`err:${error.code}`) ? say(`err:${error.code}`, field) : error.detail;
	};
	store.problems = unreadableProblems();
	for (const error of errors)
		store.problems.set(error.pointer, [...(store.problems.get(error.pointer) ?? []), texts(error)]);
	refreshControls();
	const strays = errors.filter((error) => !hasControl(error.pointer) && !hasControl(fieldOf(store.fields, error.pointer)?.pointer));
	status(true, say(errors.length > 0 ? 'problems' : 'refused', { detail: body?.detail ?? code }),
		strays.length > 0 ? h('ul', strays.map((error) => h('li', `${error.pointer} ${texts(error)}`))) : '');
	document.body.classList.toggle('stale', Boolean(store.quote));
	if (loud)
		(document.querySelector('[aria-invalid]') ?? find('status')).focus();
}

/* ---- showing ---- */

function showPrice() {
	const { quote, range, changed } = store;
	const { low_minor: low, likely_minor: likely, high_minor: high } = range?.gross ?? {};
	refill(find('price'), answer.price(store), answer.stamp(store));
	status(false, !quote.price ? say('cannot') : low === undefined ? say('about', { price: amount(quote.price.headline_minor) })
		: say('range-said', { low: roundAmount(low), likely: roundAmount(likely), high: roundAmount(high) }),
	changed ? ` ${say('changed-since', { before: changed, now: quote.reference })}` : '', ' ',
	quote.issued_on === new Date().toISOString().slice(0, 10) ? '' : button(say('renew', { day: day(quote.issued_on) }), () => {
		unpin();
		submit(true);
	}));
}

const showCompare = () => refill(find('compare'), answer.compare(store, (shell) => give('/shell', shell), () => {
	store.wantsGrid = true;
	askMore();
}));

function showAnswer() {
	const { classList, dataset } = document.body;
	classList.remove('stale');
	classList.add('answered');
	classList.toggle('is-invented', Boolean(store.quote.invented));
	dataset.invented = say('invented');
	store.width = Math.max(240, find('price').clientWidth - 2);
	showPrice();
	for (const part of ['drawings', 'flags', 'bill', 'costing', 'works', 'water', 'assumed', 'notes'])
		refill(find(part), answer[part](store, askAbout));
	/* two sheets of paper hold so many rows in letters of the usual size */
	document.documentElement.classList.toggle('long', document.querySelectorAll('.flag, #assumed li, #notes li, #works li').length > rows_most);
	showCompare();
	refill(find('sheet'), sheetTools());
	if (!find('next').contains(document.activeElement))
		showNext();
	tellFrame();
}

function showNext(forced) {
	const question = forced ?? (store.quote ? nextQuestion(store) : null);
	const part = find('next');
	const pointer = question?.pointer ?? '';
	if (part.dataset.pointer === pointer && part.childElementCount > 0)
		return;
	part.dataset.pointer = pointer;
	const back = store.asked.length > 0 ? () => {
		const before = store.asked.pop();
		store.state.unsure = store.state.unsure.filter((other) => other !== before);
		focusNext({ pointer: before });
	} : null;
	part.replaceChildren(...(question ? questionCard(store, question, (how) => done(pointer, how), back).flat(Infinity).filter(Boolean)
		: store.quote ? [heading(say('all-asked')), h('p', say('all-asked-gloss'))] : []));
	tellFrame();
}

function focusNext(question) {
	showNext(question);
	find('next').querySelector('h2')?.focus();
}

/* The question is over; the service, asked anew, says which is the next. */
function done(pointer, how) {
	store.asked.push(pointer);
	if (how || get(store.state.enquiry, pointer) === undefined)
		store.state.unsure = [...new Set([...store.state.unsure, pointer])];
	if (how === 'no')
		give(pointer, undefined);
	keepAddress();
	focusNext();
}

const askAbout = (pointer) => focusNext({ ...store.quote.assumed.find((one) => one.pointer === pointer) });

/* What goes on the paper beside the answer: name and address stay in this tab. */
function sheetTools() {
	const lines = { name: 'name', place: 'street-address' };
	const tell = () => (find('for-whom').textContent = Object.keys(lines).map(tab.read).filter(Boolean).join(', '));
	find('link').replaceChildren(h('a', { href: location.href }, location.href));
	find('firm').textContent = store.firm ?? '';
	tell();
	return [heading(say('paper')), h('p', say('paper-gloss')), h('div.fields', Object.entries(lines).map(([key, autocomplete]) => h('label', say(`paper-${key}`),
		h('input', { type: 'text', id: `paper-${key}`, autocomplete, value: tab.read(key) ?? '', input(event) {
			tab.keep(key, event.target.value);
			tell();
		} })))),
	h('div.asides', button(say('print'), () => window.print(), { class: 'main' }), button(say('copy-link'), copyLink, { id: 'copy' }))];
}

async function copyLink() {
	try {
		await navigator.clipboard.writeText(location.href);
		status(false, say('copied'));
	} catch {
		status(false, say('copy-by-hand'));
	}
}

/* A page that frames this one makes the frame as high as what is in it. */
function tellFrame() {
	if (framed)
		window.parent.postMessage({ pondwright: Math.ceil(document.documentElement.getBoundingClientRect().height) }, '*');
}

/* ---- starting ---- */

async function readRegion() {
	const path = `/v1/regions/${encodeURIComponent(store.state.enquiry.region)}`;
	const reply = await reached(askService(path, waiting), readRegion);
	if (reply?.status === 200)
		store.region = reply.body;
	setUnits(store.units());
	if (store.region)
		setMoney(store.region.currency, store.region.minor_digits);
}

function drawForm() {
	for (const node of document.querySelectorAll('[data-say]'))
		node.textContent = say(node.dataset.say);
	document.title = find('title').textContent = say(desk ? 'desk-title' : 'title');
	find('language').replaceChildren(...Object.entries(languages).map(([code, name]) => button(name, () => speak(code), { lang: code, 'aria-pressed': String(code === spoken()) })));
	find('first').replaceChildren(...firstQuestions(store));
	find('all').replaceChildren(...allFields(store, desk));
	delete find('next').dataset.pointer;
	find('next').replaceChildren();
}

async function speak(code) {
	tab.keep('language', code);
	await loadWords(code);
	drawForm();
	if (store.quote)
		showAnswer();
}

function open(state) {
	const held = state.enquiry;
	held.region ??= store.usual;
	if (held.work !== 'stream') {
		held.pond ??= {};
		held.pond.outline ??= { kind: 'ellipse' };
	}
	Object.assign(store, { state, quote: null, range: null, compare: null, screen: null, asked: [], reach: null,
		unreadable: new Set(Object.entries(state.typed).filter(([pointer, text]) => text !== '' && get(held, pointer) === undefined).map(([pointer]) => pointer)) });
	store.problems = unreadableProblems();
}

async function openAddress() {
	open(readAddress(location.hash) ?? emptyState());
	await readRegion();
	drawForm();
	document.body.classList.add('ready');
	tellFrame();
	if (isWhole())
		await submit();
}

async function start() {
	const words = loadWords(chooseLanguage([tab.read('language'), ...navigator.languages]));
	const [regions, schema] = await Promise.all([...['/v1/regions', '/v1/enquiry-schema'].map((path) => reached(askService(path, waiting), start)), words]);
	if (!regions || !schema)
		return;
	const wanted = new URLSearchParams(location.search).get('region');
	const { firm, colour_light: light, colour_dark: dark } = regions.body;
	store.firm = firm;
	if (light)
		document.documentElement.style.setProperty('--water', `light-dark(${light}, ${dark ?? light})`);
	store.regions = regions.body.regions;
	store.usual = store.regions.some((region) => region.id === wanted) ? wanted : regions.body.default_region;
	store.fields = readSchema(schema.body);
	await openAddress();
}

const parts = ['price', 'drawings', 'flags', 'compare', 'bill', 'costing', 'works', 'water', 'assumed', 'notes'];
find('answer').append(...parts.map((id) => h('section.card', { id })), h('p.paper-link', { id: 'link' }), h('section.card.screen', { id: 'sheet' }));
document.documentElement.classList.toggle('framed', framed);
document.body.dataset.way = desk ? 'desk' : 'visitor';
if (desk) {
	find('whole').replaceWith(find('all'));
	find('answer').prepend(find('status'));
	find('price').after(find('next'));
}
find('form').addEventListener('submit', (event) => {
	event.preventDefault();
	submit(true);
});
find('token').addEventListener('change', (event) => {
	store.token = event.target.value.trim();
	if (store.quote)
		submit();
});
document.querySelector('.skip').addEventListener('click', (event) => {
	event.preventDefault();
	find('main').focus();
});
window.addEventListener('hashchange', () => readAddress(location.hash) && openAddress());
new ResizeObserver(() => {
	if (store.quote && Math.abs(find('price').clientWidth - 2 - store.width) > 8)
		showAnswer();
}).observe(find('price'));
start();
