/* Pictures of the page to look at, in slices of 1600 px, and PDFs of it; no test.
 *   PONDWRIGHT_BIN=build/pondwright PONDWRIGHT_CONFIG=config PONDWRIGHT_FIXTURES=tests/fixtures \
 *   SHOTS=/tmp/shots node tests/page/shots.mjs */
import { mkdirSync } from 'node:fs';
import { test } from 'node:test';
import { answered, fixture, openWith, service, typeFirst, withPage } from './browser.mjs';
import { ownerToken } from './service.mjs';

const folder = process.env.SHOTS ?? '/tmp/shots';
const phone = { viewport: { width: 320, height: 640 } };
const slice = 1600;

mkdirSync(folder, { recursive: true });

const shot = (name, options, part) => test(name, () => withPage({ expected: ['/v1/quote'], ...options }, async (page) => {
	await part(page);
	await page.waitForLoadState('networkidle');
	const { width, height } = await page.evaluate(() => ({ width: document.documentElement.clientWidth,
		height: document.documentElement.scrollHeight }));
	for (let y = 0; y < height; y += slice)
		await page.screenshot({ path: `${folder}/${name}-${y / slice}.png`, fullPage: true,
			clip: { x: 0, y, width, height: Math.min(slice, height - y) } });
}));

const answer = (name, way) => async (page) => {
	await openWith(page, fixture(name), way);
	await answered(page);
	await page.waitForSelector('#compare table');
	await page.waitForSelector('#price .range');
};

shot('320-start', phone, (page) => openWith(page));
shot('320-answer', phone, answer('3b-rebuild-found'));
shot('320-drawn', phone, async (page) => {
	await openWith(page, fixture('3a-rebuild-agreed'));
	await page.locator('.corner').nth(3).focus();
});
shot('375-faults', { viewport: { width: 375, height: 700 } }, async (page) => {
	await openWith(page);
	await typeFirst(page, ['six-ish', '3', '40']);
	await page.waitForSelector('[aria-invalid="true"]');
});
shot('768', { viewport: { width: 768, height: 1024 } }, answer('2-new-garden-pond'));
shot('1280-start', {}, (page) => openWith(page));
shot('1280-answer', {}, answer('1-phone-call'));
shot('1280-hard', {}, answer('3b-rebuild-found'));
shot('1280-grid', {}, async (page) => {
	await answer('1-phone-call')(page);
	await page.locator('#grid-ask').click();
	await page.waitForSelector('.grids table');
});
shot('1280-cannot', {}, (page) => openWith(page, fixture('7-impossible')));
shot('dark', { colorScheme: 'dark' }, answer('3b-rebuild-found'));
shot('french', { locale: 'fr-FR' }, answer('2-new-garden-pond'));
shot('zoom-200', { viewport: { width: 640, height: 450 }, deviceScaleFactor: 2 }, answer('1-phone-call'));
shot('no-script', { javaScriptEnabled: false }, (page) => page.goto(service.url));
shot('desk', { viewport: { width: 1440, height: 900 } }, answer('3b-rebuild-found', '/desk'));
shot('desk-owner', { viewport: { width: 1440, height: 900 } }, async (page) => {
	await answer('2-new-garden-pond', '/desk')(page);
	await page.locator('#token').fill(ownerToken);
	await page.keyboard.press('Enter');
	await page.waitForSelector('#costing table');
});

for (const [name, format] of [['1-phone-call', 'A4'], ['3b-rebuild-found', 'A4'], ['3b-rebuild-found', 'Letter']])
	test(`print-${name}-${format}`, () => withPage({}, async (page) => {
		await answer(name)(page);
		await page.getByLabel('Name').fill('A. Nonymous');
		await page.pdf({ path: `${folder}/print-${name}-${format}.pdf`, format, printBackground: true });
	}));
