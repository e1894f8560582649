/* The page in a browser, against the real service: the whole job as a visitor and as the owner. */
import assert from 'node:assert/strict';
import fs from 'node:fs';
import http from 'node:http';
import { test } from 'node:test';
import { gzipSync } from 'node:zlib';
import { addressOf, answered, answerMore, fixture, heldBy, openWith, service, typeFirst,
	withPage } from './browser.mjs';
import { ownerToken } from './service.mjs';

test('a visitor gets an estimate from three answers', () => withPage({}, async (page) => {
	await openWith(page);
	await typeFirst(page, ['5.5', '3.5', '0.6']);
	await answered(page);
	assert.equal((await page.locator('#price h2').textContent()).trim(), 'Estimate');
	assert.match(await page.locator('#drawings').textContent(), /Water 6\.7\d m³/);
	assert.ok(await page.locator('#bill details').count() >= 3);
	assert.ok(await page.locator('#assumed li').count() >= 5);
	assert.match(await page.locator('#price').textContent(), /Invented demo prices/);
	assert.doesNotMatch(await page.locator('#price .big').textContent(), /\.\d\d/, 'never to the penny');
}));

test('a visitor answers the next question with one press and goes back', () => withPage({}, async (page) => {
	await openWith(page, fixture('1-phone-call'));
	assert.match(await page.locator('#next h2').textContent(), /for\?/);
	await page.locator('#next').getByRole('button', { name: 'Fish' }).click();
	await page.waitForFunction(() => document.querySelector('#next h2').textContent.includes('pond there now'));
	assert.equal((await heldBy(page)).enquiry.planting.style, 'fish');
	await page.locator('#next').getByRole('button', { name: 'No', exact: true }).click();
	await page.locator('#next').getByRole('button', { name: 'Not sure' }).click();
	assert.deepEqual((await heldBy(page)).unsure, ['/old_pond', '/stream']);
	await page.locator('#next').getByRole('button', { name: 'Back' }).click();
	assert.match(await page.locator('#next h2').textContent(), /stream/);
}));

test('what was assumed can be answered where it stands', () => withPage({}, async (page) => {
	await openWith(page, fixture('1-phone-call'));
	const row = page.locator('#assumed li').filter({ hasText: 'Ground that is dug' });
	const before = await page.locator('#price').textContent();
	await row.locator('select').selectOption('rock');
	await page.waitForFunction(() => !document.querySelector('#assumed').textContent.includes('Ground that is dug'));
	assert.equal((await heldBy(page)).enquiry.site.soil, 'rock');
	assert.notEqual(await page.locator('#price').textContent(), before);
}));

test('feet and inches are read as typed and kept as typed', () => withPage({}, async (page) => {
	await openWith(page);
	await typeFirst(page, ['20ft', "14'6", '24"']);
	await answered(page);
	const { enquiry: e } = await heldBy(page);
	assert.deepEqual([e.pond.outline.length_m, e.pond.outline.width_m, e.pond.depth_m], [6.096, 4.4196, 0.6096]);
	await page.reload();
	await answered(page);
	assert.equal(await page.getByLabel('Width').first().inputValue(), "14'6");
	await page.getByLabel('feet').check();
	assert.match(await page.locator('#drawings svg').first().getAttribute('aria-label'), /20′ long, 14′ 6″ wide/);
}));

test('lengths are read in all the ways people write them', () => withPage({}, async (page) => {
	await openWith(page);
	const read = (texts) => page.evaluate(async (all) => {
		const { readLength } = await import('/form.js');
		return all.map((text) => readLength(text, 'm'));
	}, texts);
	assert.deepEqual(await read(['6', '6,5', '6 m', '1m50', '650 cm', '20ft', "5' 6½\"", '18"', '2 mètres',
		'3 pieds 2 pouces']),
		[6, 6.5, 6, 1.5, 6.5, 6.096, 1.6891, 0.4572, 2, 0.9652]);
	assert.deepEqual(await read(['', 'abc', '14 6', '6ft 5m', '6m 5ft', '-3', '1/0']),
		[null, null, null, null, null, null, null]);
}));

test('a text that cannot be read is marked, kept over a reload, and asks nothing', () => withPage({}, async (page) => {
	await openWith(page);
	await page.getByLabel('Length').first().fill('six-ish');
	assert.match(await page.locator('.field', { hasText: 'Length' }).first().locator('.error').textContent(),
		/can't be read/);
	await page.reload();
	await page.waitForSelector('body.ready');
	assert.equal(await page.getByLabel('Length').first().inputValue(), 'six-ish');
	assert.equal(await page.locator('[aria-invalid="true"]').count(), 1);
}));

test('faults that the service finds stand beside their fields',
	() => withPage({ expected: ['/v1/quote'] }, async (page) => {
	await openWith(page);
	await typeFirst(page, ['5', '3', '40']);
	await page.waitForSelector('[aria-invalid="true"]');
	const field = page.locator('.field', { hasText: 'How deep' }).first();
	assert.match(await field.locator('.error').textContent(), /6/);
	assert.equal(await field.locator('input').evaluate((input) => input === document.activeElement), true);
	await field.locator('input').fill('0.8');
	await page.getByRole('button', { name: 'See what it costs' }).click();
	await answered(page);
	assert.equal(await page.locator('[aria-invalid="true"]').count(), 0);
}));

test('with nothing given the service says what is missing',
	() => withPage({ expected: ['/v1/quote'] }, async (page) => {
	await openWith(page);
	await page.getByRole('button', { name: 'See what it costs' }).click();
	await page.waitForSelector('[aria-invalid="true"]');
	assert.equal(await page.locator('[aria-invalid="true"]').count(), 3);
}));

test('a pond is drawn with the keyboard and with the mouse', () => withPage({}, async (page) => {
	await openWith(page);
	await page.getByLabel('Length').first().fill('6');
	await page.getByLabel('Width').first().fill('4');
	await page.getByLabel('How deep').fill('0.8');
	await page.getByText('Draw it').click();
	const corners = page.locator('.corner');
	assert.equal(await corners.count(), 8);
	const points = async () => (await heldBy(page)).enquiry.pond.outline.points_m;
	const start = await points();
	await corners.first().focus();
	await page.keyboard.press('ArrowLeft');
	await page.keyboard.press('Shift+ArrowDown');
	assert.deepEqual((await points())[0],
		[Math.round((start[0][0] - 0.1) * 10) / 10, Math.round((start[0][1] - 1) * 10) / 10]);
	await page.keyboard.press('Insert');
	assert.equal(await corners.count(), 9);
	await page.keyboard.press('Delete');
	assert.equal(await corners.count(), 8);
	const box = await corners.nth(4).boundingBox();
	const from = await points();
	await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
	await page.mouse.down();
	await page.mouse.move(box.x + 40, box.y + 10, { steps: 4 });
	await page.mouse.up();
	assert.notDeepEqual((await points())[4], from[4]);
	assert.match(await page.locator('.measure').textContent(), /long, .* wide, .*m²/);
	await page.getByRole('button', { name: 'See what it costs' }).click();
	await answered(page);
	assert.equal(await page.locator('#drawings :is(.plan, .section)').count(), 2);
}));

test('a corner goes where one presses, without a drag', () => withPage({}, async (page) => {
	await openWith(page, fixture('3a-rebuild-agreed'));
	await page.locator('.corner').nth(2).click();
	const before = (await heldBy(page)).enquiry.pond.outline.points_m;
	const board = await page.locator('.board > svg').boundingBox();
	await page.mouse.click(board.x + board.width / 2, board.y + board.height / 2);
	const { points_m: after } = (await heldBy(page)).enquiry.pond.outline;
	const middle = [0, 1].map((axis) => {
		const all = before.map((point) => point[axis]);
		return (Math.min(...all) + Math.max(...all)) / 2;
	});
	after[2].forEach((metres, axis) => assert.ok(Math.abs(metres - middle[axis]) < 0.11, `${after[2]}, ${middle}`));
	assert.deepEqual(after.toSpliced(2, 1), before.toSpliced(2, 1));
}));

test('a drawn pond is moved with a finger', () => withPage({ hasTouch: true }, async (page) => {
	const bean = fixture('3a-rebuild-agreed');
	await openWith(page, bean);
	const corner = page.locator('.corner').nth(3);
	const box = await corner.boundingBox();
	const client = await page.context().newCDPSession(page);
	const touch = (type, x, y) => client.send('Input.dispatchTouchEvent',
		{ type, touchPoints: type === 'touchEnd' ? [] : [{ x, y }] });
	await touch('touchStart', box.x + 10, box.y + 10);
	await touch('touchMove', box.x + 30, box.y + 40);
	await touch('touchEnd');
	assert.notDeepEqual((await heldBy(page)).enquiry.pond.outline.points_m[3], bean.pond.outline.points_m[3]);
}));

test('edges that cross are said and marked', () => withPage({ expected: ['/v1/quote'] }, async (page) => {
	const bean = fixture('3a-rebuild-agreed');
	bean.pond.outline.points_m = [[0, 0], [4, 3], [4, 0], [0, 3]];
	await page.goto(service.url + addressOf(bean));
	await page.waitForSelector('.crossed');
	assert.match(await page.locator('.measure').textContent(), /cross/);
	await page.waitForSelector('#status.trouble');
}));

test('a text that cannot be read is told once, and a fault without the name of its member', () =>
	withPage({ expected: ['/v1/quote'] }, async (page) => {
		await openWith(page);
		await typeFirst(page, ['six-ish', '3', '40']);
		await page.waitForFunction(() => document.querySelectorAll('[aria-invalid="true"]').length === 2);
		const said = await page.locator('.error').allTextContents();
		assert.deepEqual(said.filter(Boolean).map((text) => text.slice(0, 18)),
			["This can't be read", '40 m is outside 0.']);
	}));

test('a failed request is tried again, visibly, and nothing is lost',
	() => withPage({ expected: ['/v1/quote'] }, async (page) => {
	await openWith(page);
	let failures = 0;
	await page.route('**/v1/quote',
		(route) => (failures++ < 1 ? route.fulfill({ status: 503, body: '' }) : route.continue()));
	await typeFirst(page, ['5.5', '3.5', '0.6']);
	await page.waitForFunction(() => document.getElementById('status').textContent.includes('Trying again'));
	assert.equal(await page.getByLabel('Length').first().inputValue(), '5.5');
	await page.getByRole('button', { name: 'Try now' }).click();
	await answered(page);
	assert.equal(failures, 2);
}));

test('the address opens the same quote', () => withPage({}, async (page) => {
	await openWith(page, fixture('3a-rebuild-agreed'));
	await answered(page);
	const quote = () => page.evaluate(() => document.querySelector('#price .stamp')
		.textContent + document.querySelector('#bill').textContent);
	const [link, said] = [page.url(), await quote()];
	await page.goto('about:blank');
	await page.goto(link);
	await answered(page);
	assert.equal(await quote(), said);
	assert.equal(page.url(), link);
	assert.equal((await heldBy(page)).pinned.issued_on, '2026-09-07');
}));

test('a foreign or broken address is harmless', () => withPage({}, async (page) => {
	for (const fragment of ['#nonsense', '#e30', '#bnVsbA',
		`#${Buffer.from('{"enquiry":[]}').toString('base64url')}`]) {
		await page.goto('about:blank');
		await page.goto(service.url + fragment);
		await page.waitForSelector('body.ready');
	}
	assert.equal(await page.getByLabel('How deep').inputValue(), '');
}));

test('the hard rebuild is told whole', () => withPage({}, async (page) => {
	await openWith(page, fixture('3b-rebuild-found'));
	await answered(page);
	assert.equal(await page.locator('#flags .level').first().getAttribute('class'), 'level is-stop');
	assert.match(await page.locator('#works').textContent(), /No date is promised/);
	assert.doesNotMatch(await page.locator('#works').textContent(), /Done on/);
	assert.match(await page.locator('#water').textContent(), /Too little/);
	for (const curve of ['.curve-pump', '.curve-system', '.curve-other', '.duty'])
		assert.equal(await page.locator(`#water .chart ${curve}`).count(), 1, curve);
	assert.equal(await page.locator('#drawings .pump').count(), 1);
	assert.equal(await page.locator('#drawings .band').count() >= 2, true);
}));

test('what is guaranteed and how to care for it is said, season by season', () => withPage({}, async (page) => {
	await openWith(page, fixture('1-phone-call'));
	await answered(page);
	const said = await page.locator('#notes').innerText();
	assert.match(said, /Guarantee\s+.*guaranteed for five years/);
	assert.match(said, /Care\s+.*first weeks: Top the water up/i);
}));

test('what was assumed stays where it is while its answer is being typed', () => withPage({}, async (page) => {
	await openWith(page, fixture('1-phone-call'));
	await page.waitForSelector('#price .range');
	const input = page.locator('#assumed li').filter({ hasText: 'Narrowest point' }).locator('input');
	await input.focus();
	const ranged = page.waitForResponse('**/v1/range');
	await page.keyboard.type('0.8');
	await ranged;
	await page.keyboard.type('5');
	await page.waitForFunction(() => document.activeElement.value === '0.85');
	assert.equal((await heldBy(page)).enquiry.site.access_width_m, 0.85);
	await page.getByLabel('How deep').focus();
	await page.waitForFunction(() => !document.querySelector('#assumed').textContent.includes('Narrowest point'));
}));

test('the owner prices a call while typing, by keyboard alone', () => withPage({}, async (page) => {
	await openWith(page, null, '/desk');
	await page.getByLabel('Length').first().focus();
	await page.keyboard.type('5.5');
	await page.keyboard.press('Tab');
	await page.keyboard.type('3.5');
	await page.keyboard.press('Tab');
	await page.keyboard.type('0.6');
	await answered(page);
	assert.equal(await page.locator('#costing').textContent(), '');
	await page.getByLabel("Owner's token").focus();
	await page.keyboard.type(ownerToken);
	await page.keyboard.press('Enter');
	await page.waitForSelector('#costing table');
	assert.match(await page.locator('#costing').textContent(), /Margin/);
	assert.match(await page.locator('#price').textContent(), /£/);
	assert.ok(!page.url().includes(Buffer.from(ownerToken).toString('base64url').slice(0, 20)));
	assert.equal(await page.evaluate(() => JSON.stringify(sessionStorage) + JSON.stringify(localStorage)), '{}{}');
	await page.reload();
	await answered(page);
	assert.equal(await page.getByLabel("Owner's token").inputValue(), '');
}));

test('every field of the schema can be reached on the desk', () => withPage({}, async (page) => {
	await openWith(page, null, '/desk');
	for (const group of await page.locator('details.group:not([open]) > summary').all())
		await group.press('Enter');
	const unreached = await page.evaluate(async () => {
		const { hasControl, store } = await import('/form.js');
		return [...store.fields.values()].filter((field) => field.kind !== 'object'
			&& !field.pointer.includes('/outline/') && !hasControl(field.pointer)).map((field) => field.pointer);
	});
	assert.deepEqual(unreached, []);
	/* counts are typed by names, which must be found somewhere */
	assert.match(await page.locator('.field.tally .hint').textContent(), /^One a line: name, how many \(.*elbow-90, /);
}));

test('the range narrows as the next question is answered; shells stand side by side',
	() => withPage({}, async (page) => {
	await answerMore(page);
	await openWith(page, fixture('1-phone-call'), '/desk');
	await page.waitForSelector('#price .range');
	const wide = () => page.locator('#price .spread').evaluate((bar) => parseFloat(bar.getAttribute('width')));
	const first = await wide();
	assert.match(await page.locator('#price .big').textContent(), /£4,200 to £7,800/);
	await page.locator('#next').getByRole('button', { name: 'Clay' }).click();
	await page.waitForFunction(() => document.querySelector('#price .big').textContent.includes('£5,500'));
	assert.ok(await wide() < first);
	await page.waitForSelector('#compare table');
	assert.match(await page.locator('#compare').textContent(), /Roots pierce it/);
	await page.locator('#compare').getByRole('button', { name: /Price this one.*EPDM/ }).click();
	await page.waitForFunction(() => document.querySelector('#compare .chosen')?.textContent.includes('EPDM'));
	assert.equal((await heldBy(page)).enquiry.shell, 'epdm-liner');
}));

test('what the cheapest shell is by size and depth is shown on request, in letters as well as in shades',
	() => withPage({}, async (page) => {
	await openWith(page, fixture('1-phone-call'));
	await page.locator('#grid-ask').click();
	await page.waitForSelector('.grids table');
	const shown = await page.locator('.grids table')
		.evaluateAll((tables) => tables.map((table) => [table.caption.textContent,
		[...table.querySelectorAll('td')].map((cell) => cell.className.replace('form-',
			'') + cell.textContent.charAt(0)), table.querySelectorAll('[aria-current]').length]));
	const answer = await (await fetch(`${service.url}/v1/compare`,
		{ method: 'POST', headers: { 'content-type': 'application/json' },
		body: JSON.stringify({ ...fixture('1-phone-call'), grid: true }) })).json();
	const { cells, depth_m: depths, water_surface_m2: sizes } = answer.grid;
	const letter = { sheet: 'sheetL', cast: 'castC', clay: 'clayP' };
	const byRow = (key) =>
		depths.flatMap((depth) =>
		sizes.map((size) => letter[cells.find((cell) => cell.depth_m === depth
		&& cell.water_surface_m2 === size)[key]]));
	assert.deepEqual(shown, [['Price now', byRow('form_now'), 1], ['Over 25 years', byRow('form_over_years'), 1]]);
	assert.match(await page.locator('.grids [aria-current]').first().textContent(), /^L \+\d+%this pond$/);
	/* 10, 20, 30 and 40 years beside the years asked for */
	for (const years of [10, 20, 25, 30, 40])
		assert.equal(await page.locator('#compare thead th').getByText(`Over ${years} years`, { exact: true }).count(),
			1);
	/* it stays when the pond changes */
	await page.getByLabel('How deep').fill('1.2');
	await page.waitForFunction(() => document.querySelector('.grids [aria-current]')?.closest('tr')
		.textContent.startsWith('1.2'));
}));

test('the firm\'s name, colour and currency come from the configuration, and the shell\'s layers are drawn',
	() => withPage({ colorScheme: 'dark' }, async (page) => {
	await openWith(page, { ...fixture('1-phone-call'), region: 'demo-isle', shell: 'rendered-concrete' });
	await answered(page);
	assert.equal(await page.locator('#firm').textContent(), 'demo-firm, an invented pond builder');
	assert.equal(await page.locator('#form .main').evaluate((node) => getComputedStyle(node).backgroundColor),
		'rgb(240, 176, 221)');
	await page.emulateMedia({ colorScheme: 'light' });
	assert.equal(await page.locator('#form .main').evaluate((node) => getComputedStyle(node).backgroundColor),
		'rgb(122, 31, 92)');
	assert.match(await page.locator('#price .big').textContent(), /€/);
	assert.match(await page.locator('.layers').textContent(), /Render \(sand and cement\).*Concrete, 150 mm/);
}));

test('a page of another origin is told how high the form is, and may frame it only where the owner allows',
	async () => {
	const host = http.createServer((request, reply) => reply.setHeader('content-type', 'text/html')
		.end(`<!doctype html><title>host</title><body><h1>Host</h1>
			<script src="${service.url}/embed.js" data-region="demo-isle"></script>`));
	await new Promise((resolve) => host.listen(0, '127.0.0.1', resolve));
	const origin = `http://127.0.0.1:${host.address().port}`;
	try {
		await withPage({ foreign: true }, async (page) => {
			await page.route((url) => url.href.startsWith(service.url) && url.pathname === '/', async (route) => {
				const reply = await route.fetch();
				const headers = reply.headers();
				headers['content-security-policy'] = headers['content-security-policy'].replace(/frame-ancestors .*/,
					`frame-ancestors ${origin}`);
				await route.fulfill({ response: reply, headers });
			});
			await page.goto(origin);
			const frame = page.frameLocator('iframe');
			await frame.locator('body.ready').waitFor();
			assert.equal(await frame.getByLabel('Where is the pond?').inputValue(), 'demo-isle');
			await page.waitForFunction(() => /px$/.test(document.querySelector('iframe').style.height));
		});
		const policy = (await fetch(service.url)).headers.get('content-security-policy');
		assert.ok(policy.includes('frame-ancestors') && !policy.includes(origin) && !policy.includes('unsafe-inline'),
			policy);
	} finally {
		host.close();
	}
});

for (const locale of ['en-GB', 'fr-FR'])
	test(`every fixture is shown without a gap: ${locale}`, () => withPage({ locale }, async (page) => {
		const names = fs.readdirSync(process.env.PONDWRIGHT_FIXTURES).filter((name) => /^\d/.test(name));
		assert.ok(names.length >= 12);
		for (const name of names) {
			await page.goto('about:blank');
			const last = page.waitForResponse('**/v1/screen');
			await openWith(page, fixture(name));
			await last;
			const gaps = await page.evaluate(() => [
				...document.getElementById('answer').innerText.match(/undefined|NaN|\bnull\b|\[object|\{\w+\}/g) ?? [],
				...[...document.querySelectorAll('svg *')].flatMap((node) => [...node.attributes])
					.filter(({ value }) => /NaN|undefined|Infinity/.test(value))
						.map(({ name: attribute }) => attribute)]);
			assert.deepEqual(gaps, [], name);
		}
	}));

test('lists, pairs, sets and counts are given as they are typed or ticked',
	() => withPage({ expected: ['/v1/quote'] }, async (page) => {
	await openWith(page, fixture('1-phone-call'), '/desk');
	for (const summary of await page.locator('details.group:not([open]) > summary').all())
		await summary.press('Enter');
	await page.locator('.field.pair input').fill('4 10');
	await page.getByRole('group', { name: 'Kinds of work in the job' }).getByLabel('Rebuild').check();
	await page.getByRole('group', { name: 'Animals, nests or burrows' }).getByLabel('None of these').check();
	await page.getByLabel('Fittings on the delivery').fill('elbow-90 3\nelbow-45 1');
	await page.getByLabel('A stream runs into the pond').check();
	await page.getByLabel('Cascades from the top down').fill('0,4 0.35 flat\n0.5 0.25 sharp');
	const { facts, water, stream } = (await heldBy(page)).enquiry;
	assert.deepEqual(facts, { work_months: [4, 10], work_kinds: ['rebuild'], species_found: [] });
	assert.deepEqual(water.fittings, { 'elbow-90': 3, 'elbow-45': 1 });
	assert.deepEqual(stream.cascades, [{ width_m: 0.4, drop_m: 0.35, lip: 'flat' },
		{ width_m: 0.5, drop_m: 0.25, lip: 'sharp' }]);
}));

test('language, name and address stay in the tab, over a reload too, and go nowhere',
	() => withPage({}, async (page) => {
	await openWith(page, fixture('1-phone-call'));
	await page.getByRole('button', { name: 'Français' }).click();
	await page.waitForFunction(() => document.documentElement.lang === 'fr');
	await page.getByLabel('Nom').fill('A. Nonymous');
	await page.reload();
	await answered(page);
	assert.equal(await page.locator('html').getAttribute('lang'), 'fr');
	assert.equal(await page.getByLabel('Nom').inputValue(), 'A. Nonymous');
	assert.equal(await page.locator('#for-whom').textContent(), 'A. Nonymous');
	assert.ok(!JSON.stringify(await heldBy(page)).includes('Nonymous'));
}));

test('each asset has an ETag, and no more is sent when nothing changed', async (context) => {
	const folder = process.env.PONDWRIGHT_STATIC;
	let [bytes, packed] = [0, 0];
	for (const name of fs.readdirSync(folder)) {
		const content = fs.readFileSync(`${folder}/${name}`);
		const path = name === 'index.html' ? '/' : `/${name}`;
		const reply = await fetch(service.url + path);
		assert.equal(reply.status, 200, path);
		const again = await fetch(service.url + path, { headers: { 'if-none-match': reply.headers.get('etag') } });
		assert.equal(again.status, 304, path);
		bytes += content.length;
		packed += gzipSync(content, { level: 9 }).length;
	}
	context.diagnostic(`${bytes} bytes, ${packed} as gzip`);
});

for (const width of [320, 768, 1280])
	test(`all shells are seen side by side without scrolling: ${width} px`,
		() => withPage({ viewport: { width, height: 900 } }, async (page) => {
		await openWith(page, fixture('3b-rebuild-found'));
		await page.waitForSelector('#compare table');
		const [wide, room] = await page.locator('#compare .scroll').evaluate((node) => [node.scrollWidth, node.clientWidth]);
		assert.ok(wide <= room, `${wide} px in ${room}`);
		assert.equal(await page.locator('#compare tbody').count(), 6);
	}));

test('a job that stands still has its bars, counted from its first day', () => withPage({}, async (page) => {
	const reply = page.waitForResponse('**/v1/quote');
	await openWith(page, fixture('3b-rebuild-found'));
	const { programme: { tasks } } = await (await reply).json();
	assert.ok(tasks.every((task) => task.from === null));
	const days = Math.max(...tasks.map((task) => task.ready_day));
	const drawn = await page.locator('#works rect.bar').evaluateAll((bars) => bars.map((bar) => parseFloat(bar.getAttribute('x'))));
	assert.deepEqual(drawn.map(Math.round), tasks.map((task) => Math.round((task.first_day - 1) / days * 100)));
	assert.equal(await page.locator('#works rect.wait').count(), tasks.filter((task) => task.ready_day > task.last_day).length);
}));

test('an answer is drawn anew only where it differs', () => withPage({}, async (page) => {
	await openWith(page, fixture('1-phone-call'));
	const settle = async (part) => {
		const last = page.waitForResponse('**/v1/screen');
		await part();
		await last;
	};
	await page.waitForSelector('#compare table');
	const kept = () => page.evaluate(() => ['price', 'drawings', 'bill', 'flags', 'notes', 'sheet']
		.filter((id) => document.getElementById(id).firstChild.isOld));
	await page.evaluate(() => document.querySelectorAll('#answer > section').forEach((part) => {
		if (part.firstChild)
			part.firstChild.isOld = true;
	}));
	await settle(() => page.getByLabel('How deep').fill('0.65'));
	assert.deepEqual(await kept(), ['flags', 'notes', 'sheet']);
}));
