# Every recipe sets the machine up by itself: the first time takes minutes, then about a second.
SHELL := bash
.SHELLFLAGS := -euo pipefail -c
MAKEFLAGS += --no-print-directory
.DEFAULT_GOAL := help
.PHONY: help serve build dist test kill-test lint deny size shots bench bench-page bench-wasm

PORT ?= 8080
KILLS ?= 50

help: ## this list
	@sed -n 's/^\([a-z-]*\):.*## /\1\t/p' Makefile | expand -t 12

serve: ## work on the page: builds, serves on PORT (8080), reloads at each change
	@.ci/setup.sh native wasm
	@. target/env.sh; PATH=$$WASM_PATH exec trunk serve --dist target/serve --port $(PORT)

build: ## the finished page, a folder of static files in dist/
	@.ci/setup.sh native wasm opt
	@. target/env.sh; PATH=$$WASM_PATH trunk build --release

dist: build ## packs the page into packed/: for web servers, as one file, for course systems; LAUNCH=FILE sets a class up
	@.ci/pack.sh $(if $(LAUNCH),--launch "$(LAUNCH)")

test: ## everything that must hold: lint, tests, docs, page, browser
	@.ci/test.sh

kill-test: build ## kills a browser KILLS (50) times while it works: at most the action under way may be lost
	@.ci/setup.sh native wasm opt browser
	@. target/env.sh; KILLS=$(KILLS) node --test tests/browser/robustness/kill.test.mjs

lint: ## format, and clippy for both targets, with warnings denied
	@.ci/setup.sh native wasm
	@.ci/lint.sh

deny: ## licences and sources of all libraries
	@.ci/setup.sh native deny
	@.ci/deny.sh

size: build ## weight of the page, raw and packed; fails above 1700 KiB of brotli for a first visit
	@node .ci/size.mjs dist 1700

shots: build ## pictures of every place in three sizes and both themes, into tests/browser/shots/
	@.ci/setup.sh native wasm opt browser
	@. target/env.sh; node tests/browser/shots.mjs

bench: ## speed of the core
	@.ci/setup.sh native
	@. target/env.sh; cargo bench --locked --bench locate --bench course --bench study

bench-page: build ## work a frame and answers of the page, with the CPU slowed down four times
	@.ci/setup.sh native wasm opt browser
	@. target/env.sh; node tests/browser/bench.mjs

bench-wasm: ## speed of the core in WebAssembly, as a share of native speed
	@.ci/setup.sh native wasm
	@. target/env.sh; tests/bench/wasm/run.sh
