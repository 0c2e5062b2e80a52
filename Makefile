# Solander. "make demo" needs Go and make alone; "make test" installs what the tests need.
SHELL := /bin/bash
.DEFAULT_GOAL := help
.PHONY: help build demo check test lint fmt mutate arm faults takes soak malformed speed pictures workbooks release release-test clean

help: ## this list
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "make %-12s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

build: ## bin/solander, without cgo
	CGO_ENABLED=0 go build -trimpath -o bin/solander ./cmd/solander

demo: build ## build and open the invented studio on this machine
	bin/solander demo

test: ## install what the tests need, then check and test everything
	@scripts/test.sh

check: ## for daily use: format, vet, and the tests that are not long and need no other program
	@scripts/check.sh

lint: ## formatting, vet, staticcheck, unreached functions, known vulnerabilities, shell scripts
	@scripts/lint.sh

fmt: ## format all Go files
	go tool -modfile=tools/go.mod gofumpt -w .

mutate: ## make typical mistakes in planner, horizon and cutting and see that the tests find each; takes minutes
	@go test -run TestMistakesAreCaught -v -timeout 60m ./packing/planner ./packing/cutting ./dayplan/horizon -mutate

arm: ## plan on an emulated arm64 and compare byte for byte; needs qemu-user
	@qemu-aarch64 --version >/dev/null && GOARCH=arm64 CGO_ENABLED=0 go test -count 1 -run '^(TestSamePlansOnEveryProcessor|TestExamplePlans)$$' -v -timeout 30m -exec qemu-aarch64 ./packing/planner

faults: ## inject two thousand faults into studios at work; SEED=... makes others; takes half an hour
	@set -o pipefail; go test -count 1 -run '^TestMishaps$$' -v -timeout 120m ./store -mishaps 2000 -mishap-seed $(or $(SEED),1) | grep -v -e '^=== ' -e '--- PASS: TestMishaps/'

takes: ## take a million numbers at two servers on one PostgreSQL by 64 clients; takes half an hour
	@set -o pipefail; go test -count 1 -run '^TestTakes$$' -v -timeout 90m ./cmd/solander -takes $(or $(TAKES),1000000) -takes-together $(or $(TOGETHER),200) -takes-time $(or $(LASTS),80m) | grep -v '^=== '

soak: build ## let a server work for half an hour and see that its memory stays flat; MINUTES=... for less
	@python3 scripts/soak.py bin/solander "$$(mktemp -d)" $(or $(MINUTES),30)

malformed: ## ten thousand malformed requests over the wire; SEED=... makes others
	@go test -count 1 -run '^TestMalformed$$' -v -timeout 60m ./web -malformed 7000 -malformed-seed $(or $(SEED),1)
	@go test -count 1 -run '^TestMalformed$$' -v -timeout 60m ./api -malformed 3000 -malformed-seed $(or $(SEED),1)

speed: ## Go benchmarks, as text; NAME=... chooses, COUNT=... repeats
	@scripts/speed.sh

pictures: ## the pictures of docs, from the invented studio; needs Chromium
	go test -tags pictures -run '^TestPictures$$' -count 1 ./web

workbooks: ## the workbooks of the tests, from their flat sources; needs LibreOffice
	@scripts/workbooks.sh

release: ## archives for Windows, macOS and Linux into dist, with checksums, licences and bills of materials
	@go run ./internal/release -out dist

release-test: ## build them twice, compare, read them back, and run what this machine can, also under emulation; takes minutes
	@go test -run '^TestReleased$$' -count 1 -v -timeout 60m ./internal/release -released

clean: ## remove what was built
	rm -rf bin dist
