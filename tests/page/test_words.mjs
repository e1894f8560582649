/* The words of the page: complete in both languages. */
import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import { test } from 'node:test';
import { fixture, openWith, withPage } from './browser.mjs';

/* The lists of words.fr.txt go by the schema's order. Whoever moves, adds or takes away a field or a word goes
 * through those lists, and then puts the new digest here. */
const orderOfSchema = 'db180187a7904681';
/* Words of these come from the configuration, which an owner may change: they go by name, else by the service's
 * title. */
const ofConfiguration = ['/region', '/edition', '/shell', '/water/kept_pump/id', '/water/fittings', '/roots/plant',
	'/edge/material'];

const fieldsOfSchema = (page) => page.evaluate(async () => {
	const { store } = await import('/form.js');
	return [...store.fields.values()].filter((field) => field.kind !== 'object');
});
/* Words of the schema alone: yes, no and not known are the same everywhere. */
const ownWords = ({ words }) => words?.filter((word) => typeof word === 'string' && word !== 'unknown');

test('the French lists are in the order of the schema', () => withPage({}, async (page) => {
	await openWith(page);
	const rows = (await fieldsOfSchema(page))
		.map((field) => `${field.pointer} ${ofConfiguration.includes(field.pointer) ? '' : ownWords(field) ?? ''}`);
	assert.equal(createHash('sha256').update(rows.join('\n')).digest('hex').slice(0, 16), orderOfSchema);
}));

for (const language of ['en', 'fr'])
	test(`every field and every choice of the schema has words: ${language}`, () => withPage({}, async (page) => {
		await openWith(page);
		const fields = await fieldsOfSchema(page);
		const said = await page.evaluate(async ([rows, chosen]) => {
			const { fieldLabel, loadWords, wordTitle } = await import('/form.js');
			await loadWords(chosen);
			return rows.map((field) => [fieldLabel(field.pointer),
				(field.words ?? []).map((word) => wordTitle(field, word))]);
		}, [fields, language]);
		const bare = [];
		fields.forEach((field, i) => {
			const [label, titles] = said[i];
			/* in French neither the service's English nor the bare word will do, but for words that both share */
			if (!label || label.includes('_') || (language === 'fr' && label === field.help.split(/[;:] /)[0]))
				bare.push(field.pointer);
			for (const [k, word] of (field.words ?? []).entries())
				if (!titles[k] || titles[k].includes('_')
					|| (language === 'fr' && !ofConfiguration.includes(field.pointer)
					&& titles[k] === `${word}`.replaceAll('-', ' ') &&
					!['rectangle', 'invasive', 'grille'].includes(word)))
					bare.push(`${field.pointer} ${word}`);
		});
		assert.deepEqual(bare, []);
		assert.deepEqual(fields.filter(({ pointer }) => ['/old_pond/elsewhere', '/stream/cover'].includes(pointer))
			.map(({ pointer }) => said[fields.findIndex((field) => field.pointer === pointer)]),
			language === 'fr' ? [['Ancien bassin ailleurs', ['Oui', 'Non']],
				['Couvert par', ['dalles', 'tuyau', 'grille']]]
				: [['The old pond lies elsewhere', ['Yes', 'No']],
					['What covers that length', ['slabs', 'pipe', 'grating']]]);
	}));

test('French says what English says, and is chosen by the reader\'s language',
	() => withPage({ locale: 'fr-FR' }, async (page) => {
	await openWith(page, fixture('1-phone-call'));
	assert.equal(await page.locator('html').getAttribute('lang'), 'fr');
	assert.match(await page.locator('#price').textContent(), /Estimation/);
	const [en, fr] = await page.evaluate(async () => {
		const { readWords } = await import('/form.js');
		return Promise.all(['en', 'fr'].map(async (code) => readWords(await (await fetch(`/words.${code}.txt`))
			.text())));
	});
	assert.ok(Object.keys(en).length > 150);
	const names = (text) => (text.match(/\{\w+\}/g) ?? []).sort();
	const count = (text) => text.split('; ').length;
	const lists = ['shapes', 'units', 'has', 'groups', 'edges', 'stamp', 'flag', 'levels', 'notes', 'totals', 'costs',
		'cost-columns', 'compared', 'paper-lines'];
	for (const key of lists)
		assert.equal(count(fr[key]), count(en[key]), key);
	for (const [key, text] of Object.entries(en))
		assert.deepEqual(names(fr[key] ?? 'missing {}'), names(text), key);
	await page.getByRole('button', { name: 'English' }).click();
	await page.waitForFunction(() => document.documentElement.lang === 'en');
	assert.match(await page.locator('#price').textContent(), /Estimate/);
}));
