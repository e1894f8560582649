/* The words of the page: complete in both languages. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { fixture, openWith, service, withPage } from './browser.mjs';

const locales = { en: 'en-GB', fr: 'fr-FR' };

/* Words that are spelt alike in both. */
const alike = ['rectangle', 'invasive', 'grille'];
/* An edition is its name; fittings are typed by theirs. */
const named = ['/edition', '/water/fittings'];

for (const [language, locale] of Object.entries(locales))
	test(`every field and every choice of the schema has words: ${language}`, () => withPage({ locale }, async (page) => {
		await openWith(page);
		const fields = await page.evaluate(async () => {
			const { fieldLabel, store, wordTitle } = await import('/form.js');
			return [...store.fields.values()].filter((field) => field.kind !== 'object').map((field) => ({ ...field,
				label: fieldLabel(field.pointer), titles: (field.words ?? []).map((word) => wordTitle(field, word)) }));
		});
		const schema = await (await fetch(`${service.url}/v1/enquiry-schema`)).text();
		assert.ok(fields.length > 200);
		const bare = [];
		for (const { pointer, label, titles, words = [] } of fields) {
			/* in French neither the service's English nor the bare word will do */
			if (!label || label.includes('_') || (language === 'fr' && label.length > 20 && schema.includes(`"${label}`)))
				bare.push(`${pointer}: ${label}`);
			for (const [i, word] of words.entries())
				if (!titles[i] || titles[i].includes('_') || (language === 'fr' && !named.includes(pointer) &&
					titles[i] === `${word}`.replaceAll('-', ' ') && !alike.includes(word)))
					bare.push(`${pointer} ${word}`);
		}
		assert.deepEqual(bare, []);
		assert.deepEqual(fields.filter(({ pointer }) => ['/old_pond/elsewhere', '/stream/cover'].includes(pointer))
			.map(({ label, titles }) => [label, titles]),
		language === 'fr' ? [['Ancien bassin ailleurs', ['Oui', 'Non']], ['Couvert par', ['dalles', 'tuyau', 'grille']]]
			: [['The old pond lies elsewhere', ['Yes', 'No']], ['What covers that length', ['slabs', 'pipe', 'grating']]]);
	}));

test('French says what English says', () => withPage({}, async (page) => {
	await openWith(page);
	const en = await page.evaluate(async () => (await import('/form.js')).readWords(await (await fetch('/words.en.txt')).text()));
	const { page: fr } = await (await fetch(`${service.url}/v1/language`, { headers: { 'accept-language': 'fr' } })).json();
	assert.ok(Object.keys(en).length > 150);
	const names = (text) => (text.match(/\{\w+\}/g) ?? []).sort();
	const count = (text) => text.split('; ').length;
	const lists = ['shapes', 'units', 'has', 'groups', 'edges', 'stamp', 'flag', 'levels', 'notes', 'totals', 'costs',
		'cost-columns', 'compared', 'paper-lines'];
	for (const key of lists)
		assert.equal(count(fr[key]), count(en[key]), key);
	for (const [key, text] of Object.entries(en))
		assert.deepEqual(names(fr[key] ?? 'missing {}'), names(text), key);
	/* errors are the service's own in English */
	assert.deepEqual(Object.keys(fr).filter((key) => !(key in en) && !/^(err|f):/.test(key)), []);
}));

/* Every text that a reader sees, a line each. */
const linesOf = (page) => page.evaluate(() => {
	document.querySelectorAll('#answer details').forEach((node) => (node.open = true));
	return [...new Set(document.getElementById('answer').innerText.split('\n').map((line) => line.trim()))];
});

test('a page in French has no sentence of the English one', () => withPage({ locale: 'fr-FR' }, async (page) => {
	const shown = async (name) => {
		const last = page.waitForResponse('**/v1/screen');
		await page.goto('about:blank');
		await openWith(page, fixture(name));
		await last;
	};
	const speak = async (language) => {
		const last = page.waitForResponse('**/v1/screen');
		await page.locator(`#language [lang=${language}]`).click();
		await last;
	};
	for (const name of ['1-phone-call', '3b-rebuild-found', '4-raised-fish-pool', '7-impossible']) {
		await shown(name);
		await speak('fr');
		const french = await linesOf(page);
		assert.equal(await page.locator('html').getAttribute('lang'), 'fr');
		await speak('en');
		const english = await linesOf(page);
		assert.equal(await page.locator('html').getAttribute('lang'), 'en');
		/* sources prove something and are quoted as they are */
		assert.deepEqual(french.filter((line) => english.includes(line) && line.split(' ').length > 4 &&
			!/^\d|^Source/.test(line)), [], name);
	}
}));

test('a language is chosen by the reader\'s list or by hand, and an unknown one is English', async () => {
	await withPage({ locale: 'fr-CA' }, async (page) => {
		await openWith(page, fixture('1-phone-call'));
		assert.equal(await page.locator('html').getAttribute('lang'), 'fr');
		assert.match(await page.locator('#price').textContent(), /Estimation/);
		await page.getByRole('button', { name: 'English' }).click();
		await page.waitForFunction(() => document.querySelector('#price h2').textContent === 'Estimate');
		assert.equal(await page.locator('html').getAttribute('lang'), 'en');
		assert.match(await page.locator('#works').textContent(), /Set up|Dig/);
		await page.reload();
		await page.waitForSelector('#price h2');
		assert.match(await page.locator('#price').textContent(), /Estimate/);
	});
	await withPage({ locale: 'de-DE' }, async (page) => {
		await openWith(page, fixture('1-phone-call'));
		assert.equal(await page.locator('html').getAttribute('lang'), 'en');
	});
});
