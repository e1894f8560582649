/* The page for whoever reads it: with assistive technology, on any screen, without JavaScript. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { answerMore, axeFindsNothing, fixture, openWith, service, withPage } from './browser.mjs';

for (const [name, options] of [['at 320 px', { viewport: { width: 320, height: 640 } }], ['at 1280 px', {}],
	['in the dark', { colorScheme: 'dark' }],
	['zoomed to 200 %', { viewport: { width: 640, height: 450 }, deviceScaleFactor: 2 }],
		['with reduced motion', { reducedMotion: 'reduce' }]])
	test(`axe finds nothing on any state ${name}, and nothing is cut off`,
		() => withPage({ ...options, bypassCSP: true, expected: ['/v1/quote'] }, async (page) => {
		const fits = async (state) =>
			assert.ok(await page.evaluate(() =>
			document.documentElement.scrollWidth <= document.documentElement.clientWidth), state);
		await answerMore(page);
		for (const way of ['/', '/desk']) {
			await openWith(page, null, way);
			await axeFindsNothing(page, `${way} empty`);
			await page.getByRole('button', { name: 'See what it costs' }).click();
			await page.waitForSelector('[aria-invalid="true"]');
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
			if (way === '/') {
				await page.unroute('**/v1/compare');
				await page.locator('#grid-ask').click();
				await page.waitForSelector('.grids table');
			}
			await page.evaluate(() => document.querySelectorAll('#answer details')
				.forEach((details) => (details.open = true)));
			await axeFindsNothing(page, `${way} answered`);
			await fits(`${way} answered`);
			await page.goto('about:blank');
		}
	}));

test('without JavaScript the page says what to do', () => withPage({ javaScriptEnabled: false }, async (page) => {
	await page.goto(service.url);
	assert.match(await page.locator('body').innerText(), /JavaScript[^]*length, width and greatest depth/);
	assert.ok(!await page.locator('#form').isVisible());
}));
