/* What the tests of the page share: the service, a browser, and pages that see what goes wrong on them. */
import assert from 'node:assert/strict';
import fs from 'node:fs';
import { createRequire } from 'node:module';
import { after, before } from 'node:test';
import { chromium } from 'playwright-core';
import { startService } from './service.mjs';

const axe = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
export const fixture = (name) => JSON.parse(fs.readFileSync(`${process.env.PONDWRIGHT_FIXTURES}/${name}/enquiry.json`,
	'utf8'));
export const addressOf = (enquiry, rest) =>
	`#${Buffer.from(JSON.stringify({ enquiry, ...rest })).toString('base64url')}`;
export const heldBy = (page) => page.evaluate(() => JSON.parse(new TextDecoder().decode(
	Uint8Array.from(atob(location.hash.slice(1).replaceAll('-', '+').replaceAll('_', '/')), (c) => c.charCodeAt(0)))));
export let service;
let browser;

before(async () => {
	service = await startService();
	browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
		args: ['--headless', '--no-sandbox', '--disable-gpu',
		'--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update',
			'--disable-sync'] });
});

after(async () => {
	await browser?.close();
	await service?.stop();
});

/* Runs a part with a page of its own, and sees that it neither complains nor asks anybody but the service. Routes
 * that the service may not have yet answer 404, which the page expects; nothing else may fail. */
export async function withPage(options, part) {
	const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, locale: 'en-GB', ...options });
	const page = await context.newPage();
	const complaints = [];
	const expected = new Set(options.expected ?? []);
	page.on('console', (message) => {
		const optional = /\/v1\/(range|compare)$/.test(message.location().url) && message.text().includes('404');
		if (message.type() === 'error' && !optional && !expected.has(new URL(message.location().url).pathname))
			complaints.push(`${message.text()} ${message.location().url}`);
	});
	page.on('pageerror', (error) => complaints.push(error.stack));
	page.on('request', (request) => {
		if (!request.url().startsWith(service.url) && !request.url().startsWith('data:') && !options.foreign)
			complaints.push(`asked ${request.url()}`);
	});
	try {
		await part(page);
		assert.deepEqual(complaints, []);
	} finally {
		await context.close();
	}
}

/* Content-Security-Policy keeps axe out, as it should; a page for axe is opened without it. */
export async function axeFindsNothing(page, state) {
	await page.evaluate(axe);
	const found = await page.evaluate(() => globalThis.axe.run(document));
	assert.deepEqual(found.violations.map((rule) => `${rule.id}: ${rule.nodes.map((node) => node.html).join(' | ')}`),
		[], state);
}

export const answered = (page) => page.waitForSelector('body.answered:not(.stale) #price .big');

export async function openWith(page, enquiry, way = '/') {
	await page.goto(service.url + way + (enquiry ? addressOf(enquiry) : ''));
	await page.waitForSelector('body.ready');
	if (enquiry)
		await page.waitForSelector('body.answered');
}

export async function typeFirst(page, [length, width, depth]) {
	await page.getByLabel('Length').first().fill(length);
	await page.getByLabel('Width').first().fill(width);
	await page.getByLabel('How deep').fill(depth);
	await page.getByRole('button', { name: 'See what it costs' }).click();
}

/* Whatever the service knows of ranges and comparisons, this is what the page makes of an answer in the contract's
 * words. */
export async function answerMore(page) {
	const gross = (spread) => ({ low_minor: 600000 - spread, likely_minor: 600000, high_minor: 600000 + spread });
	await page.route('**/v1/range', (route) => {
		const known = route.request().postDataJSON().site?.soil !== undefined;
		return route.fulfill({ json: { gross: gross(known ? 50000 : 180000), net: gross(1), on_site_days: {},
			quotes: 256, ask_next: known ? [] : [
			{ pointer: '/site/soil', question: 'What is the ground like?', where: 'phone', share: 0.4,
				low_minor: 500000, high_minor: 700000 }] } });
	});
	const option = (shell, life) =>
		({ shell, price: { headline_minor: 600000 }, sections: [], on_site_days: 6, water_in_on: '2027-01-04',
		finish_on: '2027-01-08',
		service_life_years: life, renewals: [], cost_over_years_minor: 900000, cost_per_year_minor: 36000, kgco2e: null,
			cautions: [], cannot: [],
		unsuitable: shell === 'epdm-liner' ? [{ id: 'x', why: 'Roots pierce it.' }] : null });
	await page.route('**/v1/compare',
		(route) => route.fulfill({ json: { options: [option('epdm-liner', 25), option('rendered-concrete', 50)],
		cheapest_now: 'epdm-liner', cheapest_over_years: 'rendered-concrete', paid_back_after_years: 12,
			differences: [] } }));
}
