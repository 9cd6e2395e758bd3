# Everything a person needs: make demo, make test, make build. The rest is for whoever works on it.
.PHONY: demo test build packages lint format bench bench-record soak sanitize deb clean

SHELL := /bin/bash
export AMPHORA_BATCHES ?= ON

packages:
	@scripts/install-packages

build: packages
	cmake --preset release
	cmake --build build --target amphora

demo: build
	@if [ -t 1 ]; then build/amphora demo; else build/amphora demo --once; fi

test: build
	scripts/run-tests

sanitize: packages
	scripts/sanitize

lint: packages
	scripts/lint

format:
	git ls-files '*.cpp' '*.hpp' | xargs clang-format-19 -i

bench: packages
	scripts/run-bench

bench-record: packages
	scripts/bench-record

soak: packages
	scripts/soak

deb: build
	scripts/build-deb

clean:
	rm -rf build
