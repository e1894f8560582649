-- Posts the files of BENCH_BODIES (paths with ':' between) in turn.
local requests, turn = {}, 0

function init()
	wrk.method = "POST"
	wrk.headers["Content-Type"] = "application/json"
	for path in os.getenv("BENCH_BODIES"):gmatch("[^:]+") do
		local file = assert(io.open(path, "rb"))
		requests[#requests + 1] = wrk.format(nil, nil, nil, file:read("*a"))
		file:close()
	end
end

function request()
	turn = turn % #requests + 1
	return requests[turn]
end
