# bench-spread times the spread of the lantern beside the same job by hand for
# scipy's fsolve, prints the ratio and puts a row into out/bench.json.
# python3-scipy is for Debian's own Python.
.PHONY: bench-spread
bench-spread:
	$(call install-missing,python3-scipy)
	@mkdir -p out
	go run ./analysis/bench/spread -python /usr/bin/python3 -o out/bench.json

# bench-tables makes the two tables of README.md: the sparse solver beside KLU
# and gonum, and cost against size.
.PHONY: bench-tables
bench-tables: bench-solver bench-growth
