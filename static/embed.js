/* README.md, "On your own site": the form appears where this script stands, as high as it needs to be. */
{
	const script = document.currentScript;
	const home = new URL(script.src).origin;
	const frame = document.createElement('iframe');

	frame.src = `${home}/?region=${encodeURIComponent(script.dataset.region ?? '')}`;
	frame.title = script.dataset.title ?? 'What would my pond cost?';
	frame.allow = 'clipboard-write';
	Object.assign(frame.style, { width: '100%', height: '40rem', border: '0' });
	script.after(frame);
	window.addEventListener('message', ({ source, origin, data }) => {
		if (source === frame.contentWindow && origin === home && data.pondwright > 0)
			frame.style.height = `${data.pondwright}px`;
	});
}
