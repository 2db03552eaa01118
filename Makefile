# Copperglass: `make run` opens the program, `make test` tests all of it.
# Both install what the machine lacks. Go, gcc and make must be there.

# One set of build flags for everything: other flags would build the toolkit's
# C code again, which takes minutes. The tag tells the toolkit that the program
# keeps its calls on the main goroutine.
export GOFLAGS := -tags=migrated_fynedo

# Debian packages: to build the window, and to test it on a screen of its own.
BUILD_PACKAGES := pkg-config libgl1-mesa-dev xorg-dev libxkbcommon-dev
TEST_PACKAGES  := $(BUILD_PACKAGES) xvfb xdotool x11-apps imagemagick librsvg2-bin libgl1-mesa-dri xclip
# To compare the solver with KLU.
BENCH_PACKAGES := libsuitesparse-dev

SOURCES := $(shell find . -name '*.go' -not -path './.git/*') go.mod go.sum $(shell find assets -type f)

.PHONY: run test lint cross bench bench-solver bench-growth soak shots build-packages test-packages bench-packages clean

run:
ifeq ($(DISPLAY)$(WAYLAND_DISPLAY),)
	@echo 'No display here, so the job is done without a window: the example is solved and drawn to out/.'
	@mkdir -p out
	@go run ./cmd/copperprint modes example:lantern
	@for name in $$(go run ./cmd/copperprint examples); do \
		for kind in png svg; do \
			mode=''; test $$name = lantern && mode='--mode White'; \
			go run ./cmd/copperprint draw example:$$name $$mode -o out/$$name.$$kind && echo "wrote out/$$name.$$kind" || exit 1; \
		done; \
	done
else
	@$(MAKE) --no-print-directory out/copperglass
	out/copperglass
endif

out/copperglass: $(SOURCES) | build-packages
	@mkdir -p out
	go build -o $@ ./cmd/copperglass

test: test-packages out/copperglass
	go test ./...

# lint is what every change must pass before its tests are worth running.
lint: build-packages
	@unformatted=$$(gofmt -l .); test -z "$$unformatted" || { echo "run gofmt -w on: $$unformatted"; exit 1; }
	go vet ./...
	go tool staticcheck ./...

# cross compiles all that needs no C for the three desktops.
PURE := ./model/... ./analysis/... ./assets/... ./canvas ./canvas/symbol/... ./canvas/scene/... ./canvas/raster/... ./canvas/svg/... ./canvas/tool/... ./cmd/copperprint/...
cross:
	@for system in linux windows darwin; do \
		echo "compiling for $$system"; \
		CGO_ENABLED=0 GOOS=$$system go build $(PURE) || exit 1; \
	done

# bench puts rows into out/bench.json: bench-solver times the sparse solver
# beside KLU and gonum's dense LU, bench-growth the way from file to figures for
# drawings of 10 to 100,000 parts. Then all other benchmarks run.
bench: bench-solver bench-growth bench-spread test-packages
	go test -run '^$$' -bench . -benchmem ./...

bench-solver: bench-packages
	go run -tags=klu ./analysis/sparse/klubench -o out/bench.json

bench-growth:
	go run ./analysis/bench/growth -o out/bench.json

include analysis/bench/bench.mk
include cmd/copperglass/packaging/package.mk

# soak solves 100,000 random circuits over the whole palette, verifies each
# solution and each refusal, and prints how many there were. Then it kills the
# program 200 times while it is edited, and looks at what is left. Last it looks
# for labels that cover something, or find no place, on 500 random drawings, and
# types and clicks at random for ten minutes.
soak: test-packages
	go test -count=1 -timeout=30m -v -run '^TestSoak$$' ./analysis -soak=100000
	go test -count=1 -timeout=60m -v -run '^TestKill$$' ./cmd/copperglass -kills=200
	go test -count=1 -v -run '^TestLabelsCoverNothing$$' ./canvas/scene -soak=500
	go test -count=1 -timeout=30m -v -run '^TestRandomInput$$' ./cmd/copperglass -random=10m

# shots drives the real window on a screen of its own and writes a picture of
# every view, dialog and theme, at both scales, to out/shots/, and the one of
# README.md to its place.
shots: test-packages out/copperglass
	go test -count=1 -timeout=30m -run 'TestShots|TestReadmePicture' ./cmd/copperglass -shots=$(CURDIR)/out/shots -readme=$(CURDIR)/assets/readme/window.png

# install-missing installs those of $(1) that dpkg does not know as installed.
define install-missing
	@command -v dpkg-query >/dev/null || { echo 'not Debian or Ubuntu: see README.md for what to install'; exit 0; }; \
	missing=''; \
	for p in $(1); do \
		dpkg-query -W -f='$${Status}' $$p 2>/dev/null | grep -q 'install ok installed' || missing="$$missing $$p"; \
	done; \
	test -z "$$missing" && exit 0; \
	echo "installing:$$missing"; \
	sudo=''; test "$$(id -u)" = 0 || sudo=sudo; \
	$$sudo apt-get update -qq && $$sudo env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq $$missing >/dev/null
endef

build-packages:
	$(call install-missing,$(BUILD_PACKAGES))

test-packages:
	$(call install-missing,$(TEST_PACKAGES))

bench-packages:
	$(call install-missing,$(BENCH_PACKAGES))

clean:
	rm -rf out
