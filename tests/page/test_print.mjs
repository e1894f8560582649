/* The page on paper. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { answered, fixture, openWith, withPage } from './browser.mjs';

for (const name of ['1-phone-call', '2-new-garden-pond', '3b-rebuild-found', '4-raised-fish-pool', '9-wet-winter-site'])
	for (const [format, locale] of [['A4', 'en-GB'], ['Letter', 'en-US'], ['A4', 'fr-FR']])
		test(`${name} prints on one or two pages of ${format}: ${locale}`, () => withPage({ locale }, async (page) => {
			await openWith(page, fixture(name));
			await page.waitForSelector('#compare table');
			await page.waitForSelector('#price .range');
			await page.getByLabel(/Name|Nom/).fill('A. Nonymous');
			const pdf = (await page.pdf({ format, printBackground: true })).toString('latin1');
			const pages = pdf.match(/\/Type\s*\/Page\b(?!s)/g).length;
			assert.ok(pages === 1 || pages === 2, `${pages} pages`);
			await page.emulateMedia({ media: 'print' });
			for (const part of ['#for-whom', '#price .stamp', '#price .invented', '#bill', '#assumed', '#notes',
				'#link a', '.disclaimer'])
				assert.ok(await page.locator(part).first().isVisible(), part);
			assert.ok(!await page.locator('#form').isVisible());
		}));
