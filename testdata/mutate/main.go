// Mutate asks whether a package's tests would notice a slip: it changes one sign,
// bound, limit or number in the package's code at a time, runs that package's own
// tests, and lists the changes that no test saw.
//
//	go run ./testdata/mutate -n 400 -seed 1 calc/trade calc/plan calc/quantity
//
// The changes are drawn with the seed from all that there are. Those of no effect
// on what the code does are named in equal.txt beside this file and not counted.
// It fails if fewer than the wanted part of the rest dies.
package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
)

func main() {
	number := flag.Int("n", 400, "how many changes to try; 0 for all")
	seed := flag.Uint64("seed", 1, "what they are drawn with")
	wanted := flag.Float64("wanted", 0.95, "the part that must die")
	only := flag.String("only", "", "try only the changes whose name holds this")
	timeout := flag.String("timeout", "120s", "how long one run of the tests may take; longer counts as dead")
	flag.Parse()
	ok, err := run(flag.Args(), *number, *seed, *wanted, *only, *timeout)
	if err != nil {
		fmt.Fprintln(os.Stderr, "mutate:", err)
	}
	if err != nil || !ok {
		os.Exit(1)
	}
}

func run(dirs []string, number int, seed uint64, wanted float64, only, timeout string) (bool, error) {
	equal, err := readEqual("testdata/mutate/equal.txt")
	if err != nil {
		return false, err
	}
	var all []change
	for _, dir := range dirs {
		found, err := changesOf(filepath.ToSlash(dir))
		if err != nil {
			return false, err
		}
		all = append(all, found...)
	}
	known := map[string]bool{}
	var tried []change
	for _, c := range all {
		known[c.name] = true
		if !equal[c.name] && strings.Contains(c.name, only) {
			tried = append(tried, c)
		}
	}
	for name := range equal {
		if !known[name] && has(dirs, name) {
			return false, fmt.Errorf("equal.txt names what is not there: %s", name)
		}
	}
	rand.New(rand.NewPCG(seed, 0)).Shuffle(len(tried), func(i, j int) { tried[i], tried[j] = tried[j], tried[i] })
	result := try(tried, number, timeout)
	fmt.Printf("%d of %d changes died (%.1f %%), of %d that there are; %d are named as of no effect\n",
		result.dead, result.dead+result.alive, 100*result.part(), len(all), len(equal))
	return result.part() >= wanted, nil
}

func has(dirs []string, name string) bool {
	for _, dir := range dirs {
		if strings.HasPrefix(name, filepath.ToSlash(dir)+"/") {
			return true
		}
	}
	return false
}

// readEqual reads the names of changes that change nothing: one a line, and why
// after a #.
func readEqual(path string) (map[string]bool, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	names := map[string]bool{}
	for line := range strings.Lines(string(text)) {
		name, _, _ := strings.Cut(line, " #")
		if name = strings.TrimSpace(name); name != "" && !strings.HasPrefix(name, "#") {
			names[name] = true
		}
	}
	return names, nil
}

type outcome int

const (
	dead outcome = iota
	alive
	invalid // it does not compile
)

type tally struct{ dead, alive int }

func (t tally) part() float64 {
	if t.dead+t.alive == 0 {
		return 1
	}
	return float64(t.dead) / float64(t.dead+t.alive)
}

// try tests changes in their order, two at a time, until so many were tried.
func try(changes []change, number int, timeout string) tally {
	var (
		mu   sync.Mutex
		wait sync.WaitGroup
		next int
		sum  tally
	)
	take := func() (change, bool) {
		mu.Lock()
		defer mu.Unlock()
		if next == len(changes) || number > 0 && sum.dead+sum.alive >= number {
			return change{}, false
		}
		next++
		return changes[next-1], true
	}
	for range min(2, runtime.NumCPU()) {
		wait.Go(func() {
			for c, ok := take(); ok; c, ok = take() {
				o := test(c, timeout)
				mu.Lock()
				switch o {
				case dead:
					sum.dead++
				case alive:
					sum.alive++
					fmt.Printf("%s:%d: alive: %s\n", c.file, c.line, c.name)
				}
				mu.Unlock()
			}
		})
	}
	wait.Wait()
	return sum
}

// test runs the tests of a change's package with the changed file in place of the
// one on disk, which stays as it is.
func test(c change, timeout string) outcome {
	dir, err := os.MkdirTemp("", "mutate")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	changed := filepath.Join(dir, "changed.go")
	if err := os.WriteFile(changed, c.text, 0o600); err != nil {
		panic(err)
	}
	whole, err := filepath.Abs(c.file)
	if err != nil {
		panic(err)
	}
	overlay, err := json.Marshal(map[string]map[string]string{"Replace": {whole: changed}})
	if err != nil {
		panic(err)
	}
	list := filepath.Join(dir, "overlay.json")
	if err := os.WriteFile(list, overlay, 0o600); err != nil {
		panic(err)
	}
	out, err := exec.Command("go", "test", "-overlay", list, "-vet=off", "-failfast", "-count=1", "-timeout", timeout, "./"+filepath.Dir(c.file)).CombinedOutput()
	switch {
	case err == nil:
		return alive
	case bytes.Contains(out, []byte("[build failed]")), bytes.Contains(out, []byte("[setup failed]")):
		return invalid
	}
	return dead
}
