/* Puts the form into a page of another origin that the owner allows (config/service.json, allowed_origins):
 *   <script src="https://quotes.example.test/embed.js" data-region="demo-north" async></script>
 * The form appears where the script stands, as high as it needs to be. */
(() => {
	const script = document.currentScript;
	const home = new URL(script.src).origin;
	const frame = document.createElement('iframe');

	frame.src = `${home}/?region=${encodeURIComponent(script.dataset.region ?? '')}`;
	frame.title = script.dataset.title ?? 'What would my pond cost?';
	frame.allow = 'clipboard-write';
	Object.assign(frame.style, { width: '100%', height: '40rem', border: '0' });
	script.after(frame);
	window.addEventListener('message', (event) => {
		if (event.source === frame.contentWindow && event.origin === home && event.data?.pondwright > 0)
			frame.style.height = `${event.data.pondwright}px`;
	});
})();
