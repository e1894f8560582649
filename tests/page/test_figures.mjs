/* How fast the page is. Told, not judged: a busy machine must not fail a test. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { fixture, openWith, service, withPage } from './browser.mjs';

const told = (values_ms) => {
	const sorted = values_ms.toSorted((a, b) => a - b);
	return `median ${sorted[sorted.length >> 1].toFixed(0)} ms, least ${sorted[0].toFixed(0)}, ` +
		`most ${sorted.at(-1).toFixed(0)} (of ${sorted.length})`;
};

for (const way of ['/', '/desk'])
	test(`how long ${way} takes to its first paint is told`, async (context) => withPage({}, async (page) => {
		const client = await page.context().newCDPSession(page);
		const paints_ms = [];
		await client.send('Network.setCacheDisabled', { cacheDisabled: true });
		await page.goto(service.url + way);
		for (let i = 0; i < 15; i++) {
			await page.waitForSelector('body.ready');
			await page.reload();
			paints_ms.push(await page.evaluate(() => new Promise((resolve) => new PerformanceObserver((list) =>
				list.getEntriesByName('first-contentful-paint').forEach((paint) => resolve(paint.startTime)))
				.observe({ type: 'paint', buffered: true }))));
		}
		assert.ok(paints_ms.every((paint_ms) => paint_ms > 0));
		context.diagnostic(`first contentful paint of ${way}, nothing cached: ${told(paints_ms)}`);
	}));

test('on the desk every key that changes the pond changes the price; how long that takes is told',
	async (context) => withPage({}, async (page) => {
		await openWith(page, fixture('1-phone-call'), '/desk');
		await page.waitForSelector('#price .range');
		await page.evaluate(() => {
			globalThis.waits_ms = { key: [], document: [], frame: [] };
			let [pressed_ms, seen_ms] = [null, 0];
			document.addEventListener('input', () => (pressed_ms = performance.now()));
			new MutationObserver(() => {
				const reply_ms = performance.getEntriesByType('resource')
					.findLast((entry) => entry.name.endsWith('/v1/quote')).responseEnd;
				if (pressed_ms === null || reply_ms === seen_ms)
					return;
				const key_ms = pressed_ms;
				[pressed_ms, seen_ms] = [null, reply_ms];
				globalThis.waits_ms.document.push(performance.now() - reply_ms);
				requestAnimationFrame(() => {
					globalThis.waits_ms.frame.push(performance.now() - reply_ms);
					globalThis.waits_ms.key.push(performance.now() - key_ms);
				});
			}).observe(document.getElementById('price'), { childList: true });
		});
		/* processor time of the page's thread, which a busy machine does not stretch */
		const client = await page.context().newCDPSession(page);
		await client.send('Performance.enable', { timeDomain: 'threadTicks' });
		const busy_ms = async () => (await client.send('Performance.getMetrics')).metrics
			.filter(({ name }) => ['ScriptDuration', 'LayoutDuration', 'RecalcStyleDuration'].includes(name))
			.reduce((sum, { value }) => sum + 1000 * value, 0);
		const begun_ms = await busy_ms();
		await page.getByLabel('How deep').focus();
		for (let round = 0; round < 18; round++) {
			const before = await page.evaluate(() => globalThis.waits_ms.key.length);
			await page.keyboard.press('End');
			await page.keyboard.press('Backspace');
			await page.keyboard.press(String(1 + round % 9));
			await page.waitForFunction((count) => globalThis.waits_ms.key.length > count, before);
		}
		const { key, document: changed, frame } = await page.evaluate(() => globalThis.waits_ms);
		assert.ok(key.length >= 18);
		const each_ms = (await busy_ms() - begun_ms) / key.length;
		context.diagnostic(`key press to new price on the screen, 60 ms of pause among it: ${told(key)}`);
		context.diagnostic(`script, style and layout for one key, quote, range and comparison: ${each_ms.toFixed(1)} ms of processor`);
		context.diagnostic(`reply's last byte to the new answer in the document: ${told(changed)}`);
		context.diagnostic(`reply's last byte to the frame that shows it: ${told(frame)}`);
	}));
