/* The page for whoever reads it: on paper, with assistive technology, on any screen, in French, without JavaScript. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { answered, answerMore, axeFindsNothing, fixture, openWith, service, withPage } from './browser.mjs';

for (const name of ['1-phone-call', '2-new-garden-pond', '3b-rebuild-found'])
	for (const format of ['A4', 'Letter'])
		test(`${name} prints on one or two pages of ${format}`, () => withPage({}, async (page) => {
			await openWith(page, fixture(name));
			await answered(page);
			await page.getByLabel('Name').fill('A. Nonymous');
			const pdf = (await page.pdf({ format, printBackground: true })).toString('latin1');
			const pages = pdf.match(/\/Type\s*\/Page\b(?!s)/g).length;
			assert.ok(pages === 1 || pages === 2, `${pages} pages`);
			await page.emulateMedia({ media: 'print' });
			for (const part of ['#for-whom', '#price .stamp', '#price .invented', '#bill', '#assumed', '#notes', '#link a', '.disclaimer'])
				assert.ok(await page.locator(part).first().isVisible(), part);
			assert.ok(!await page.locator('#form').isVisible());
		}));

for (const [name, options] of [['at 320 px', { viewport: { width: 320, height: 640 } }], ['at 1280 px', {}], ['in the dark', { colorScheme: 'dark' }],
	['zoomed to 200 %', { viewport: { width: 640, height: 450 }, deviceScaleFactor: 2 }], ['with reduced motion', { reducedMotion: 'reduce' }]])
	test(`axe finds nothing on any state ${name}, and nothing is cut off`, () => withPage({ ...options, bypassCSP: true, expected: ['/v1/quote'] }, async (page) => {
		const fits = async (state) => assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= document.documentElement.clientWidth), state);
		await answerMore(page);
		for (const way of ['/', '/desk']) {
			await openWith(page, null, way);
			await axeFindsNothing(page, `${way} empty`);
			await page.getByRole('button', { name: 'See what it costs' }).click();
			await page.waitForSelector('[aria-invalid]');
			await axeFindsNothing(page, `${way} with faults`);
			for (const summary of await page.locator('#whole > summary, details.group:not([open]) > summary').all())
				if (await summary.isVisible())
					await summary.click();
			await axeFindsNothing(page, `${way} with everything`);
			await fits(`${way} with everything`);
			await page.goto('about:blank');
			await openWith(page, fixture('3b-rebuild-found'), way);
			await page.waitForSelector('#compare table');
			await page.waitForSelector('#next h2');
			await page.evaluate(() => document.querySelectorAll('#answer details').forEach((details) => (details.open = true)));
			await axeFindsNothing(page, `${way} answered`);
			await fits(`${way} answered`);
			await page.goto('about:blank');
		}
	}));

test('French is complete and chosen by the reader\'s language', () => withPage({ locale: 'fr-FR' }, async (page) => {
	await openWith(page, fixture('1-phone-call'));
	assert.equal(await page.locator('html').getAttribute('lang'), 'fr');
	assert.match(await page.locator('#price').textContent(), /Estimation/);
	const missing = await page.evaluate(async () => {
		const [en, fr, schema] = await Promise.all(['/words.en.json', '/words.fr.json', '/v1/enquiry-schema'].map(async (path) => (await fetch(path)).json()));
		const { readSchema } = await import('/fields.js');
		const last = (pointer) => pointer.slice(pointer.lastIndexOf('/') + 1);
		const lost = Object.keys(en).filter((key) => !(key in fr));
		for (const field of readSchema(schema).values())
			if (field.kind !== 'object') {
				if (!(`f:${field.pointer}` in fr) && !(`f:${last(field.pointer)}` in fr))
					lost.push(`f:${field.pointer}`);
				for (const word of field.words ?? [])
					if (!['region', 'edition', 'shell', 'id'].includes(last(field.pointer)) && !(`w:${last(field.pointer)}.${word}` in fr) && !(`w:${word}` in fr))
						lost.push(`w:${last(field.pointer)}.${word}`);
			}
		return [...new Set(lost)];
	});
	assert.deepEqual(missing, []);
	await page.getByRole('button', { name: 'English' }).click();
	await page.waitForFunction(() => document.documentElement.lang === 'en');
	assert.match(await page.locator('#price').textContent(), /Estimate/);
}));

test('without JavaScript the page says what to do', () => withPage({ javaScriptEnabled: false }, async (page) => {
	await page.goto(service.url);
	assert.match(await page.locator('body').innerText(), /JavaScript[^]*length, width and greatest depth/);
	assert.ok(!await page.locator('#form').isVisible());
}));
