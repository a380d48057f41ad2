// SPDX-License-Identifier: MIT
#include "engine/graph/graph.h"

#include <algorithm>
#include <map>
#include <random>
#include <set>

#include <doctest/doctest.h>

using spanwright::graph::Graph;
using spanwright::graph::NodeId;

namespace {

using Reads = std::vector<NodeId>;

std::vector<std::size_t> numbers(const std::vector<NodeId>& ids) {
    std::vector<std::size_t> out;
    for (NodeId id : ids) out.push_back(id.index());
    return out;
}

/// A toy calculation on a graph: a node is its own input plus what it reads, modulo a small number so that
/// many changes come out equal. On a ring it is -1, and what reads a negative value is -2.
struct Toy {
    static constexpr int kModulus = 5;
    Graph graph;
    std::vector<int> inputs;
    std::vector<int> values;
    std::vector<bool> alive;
    std::vector<std::size_t> log;
    std::vector<std::size_t> changed;

    void add(std::size_t n) {
        graph.addMany(n);
        inputs.resize(inputs.size() + n, 1);
        values.resize(values.size() + n, -3);
        alive.resize(alive.size() + n, true);
    }
    int compute(NodeId n) const {
        int sum = inputs[n.index()];
        for (NodeId r : graph.reads(n)) {
            if (values[r.index()] < 0) return -2;
            sum += values[r.index()];
        }
        return sum % kModulus;
    }
    std::size_t update() {
        log.clear();
        changed.clear();
        const auto put = [this](NodeId n, int v) {
            log.push_back(n.index());
            if (values[n.index()] == v) return false;
            values[n.index()] = v;
            changed.push_back(n.index());
            return true;
        };
        return graph.update([&](NodeId n) { return put(n, compute(n)); }, [&](NodeId n) { return put(n, -1); });
    }
};

/// reach[a][b]: a reads b, directly or through others. The long way round, as a second opinion.
std::vector<std::vector<bool>> closure(const Graph& g) {
    const std::size_t n = g.size();
    std::vector<std::vector<bool>> reach(n, std::vector<bool>(n, false));
    for (std::size_t a = 0; a < n; ++a)
        for (NodeId r : g.reads(NodeId(a))) reach[a][r.index()] = true;
    for (std::size_t k = 0; k < n; ++k)
        for (std::size_t a = 0; a < n; ++a)
            if (reach[a][k])
                for (std::size_t b = 0; b < n; ++b)
                    if (reach[k][b]) reach[a][b] = true;
    return reach;
}

/// Values from scratch by repeated passes, without the graph's order.
std::vector<int> fresh(const Toy& toy, const std::vector<std::vector<bool>>& reach) {
    const std::size_t n = toy.inputs.size();
    std::vector<int> out(n, -3);
    std::vector<bool> done(n, false);
    for (std::size_t i = 0; i < n; ++i)
        if (reach[i][i]) {
            out[i] = -1;
            done[i] = true;
        }
    for (bool more = true; more;) {
        more = false;
        for (std::size_t i = 0; i < n; ++i) {
            if (done[i] || !toy.alive[i]) continue;
            int sum = toy.inputs[i];
            bool ready = true;
            bool blocked = false;
            for (NodeId r : toy.graph.reads(NodeId(i))) {
                ready = ready && done[r.index()];
                blocked = blocked || out[r.index()] < 0;
                sum += out[r.index()];
            }
            if (!ready) continue;
            out[i] = blocked ? -2 : sum % Toy::kModulus;
            done[i] = true;
            more = true;
        }
    }
    return out;
}

} // namespace

TEST_CASE("nodes are worked out after what they read") {
    Toy toy;
    toy.add(4);
    toy.graph.setReads(NodeId(0), {NodeId(1), NodeId(2)});
    toy.graph.setReads(NodeId(1), {NodeId(3)});
    toy.graph.setReads(NodeId(2), {NodeId(3), NodeId(3)});
    CHECK(toy.update() == 4);
    CHECK(toy.log.front() == 3);
    CHECK(toy.log.back() == 0);
    CHECK(toy.values[0] == (1 + 2 + 2) % 5);
    CHECK(numbers(toy.graph.reads(NodeId(2))) == std::vector<std::size_t>{3});
    CHECK(numbers(toy.graph.feeds(NodeId(3))) == std::vector<std::size_t>{1, 2});
    CHECK(toy.update() == 0);
}

TEST_CASE("a value that comes out equal stops the wave and keeps its revision") {
    Toy toy;
    toy.add(4);
    for (std::size_t i = 1; i < 4; ++i) toy.graph.setReads(NodeId(i), {NodeId(i - 1)});
    toy.update();
    const auto first = toy.graph.revision();
    toy.inputs[0] += Toy::kModulus; // another input, the same value
    toy.graph.touch(NodeId(0));
    CHECK(toy.update() == 1);
    CHECK(toy.log == std::vector<std::size_t>{0});
    CHECK(toy.graph.changedAt(NodeId(0)) == first);
    CHECK(toy.graph.workedAt(NodeId(0)) == first + 1);
    CHECK(toy.graph.workedAt(NodeId(1)) == first);
    toy.inputs[0] += 1;
    toy.graph.touch(NodeId(0));
    CHECK(toy.update() == 4);
    CHECK(toy.graph.changedAt(NodeId(3)) == first + 2);
}

TEST_CASE("a ring is told by its shortest path and goes away again") {
    Toy toy;
    toy.add(6);
    const auto reads = [&](std::size_t n, Reads r) { toy.graph.setReads(NodeId(n), r); };
    reads(0, {NodeId(1)});
    reads(1, {NodeId(2)});
    reads(2, {NodeId(3), NodeId(0)});
    reads(3, {NodeId(0)});
    reads(4, {NodeId(2)}); // reads the ring, does not stand on it
    toy.update();
    CHECK(numbers(toy.graph.cycleThrough(NodeId(0))) == std::vector<std::size_t>{0, 1, 2, 0});
    CHECK(numbers(toy.graph.cycleThrough(NodeId(3))) == std::vector<std::size_t>{3, 0, 1, 2, 3});
    CHECK(toy.graph.cycleThrough(NodeId(4)).empty());
    CHECK(numbers(toy.graph.tangle(NodeId(2))) == std::vector<std::size_t>{0, 1, 2, 3});
    CHECK(toy.graph.tangleHead(NodeId(2)) == NodeId(0));
    CHECK_FALSE(toy.graph.tangleHead(NodeId(4)).valid());
    CHECK(toy.values == std::vector<int>{-1, -1, -1, -1, -2, 1});
    reads(2, {NodeId(3)});
    CHECK(toy.graph.onCycle(NodeId(2)));
    CHECK(numbers(toy.graph.cycleThrough(NodeId(0))) == std::vector<std::size_t>{0, 1, 2, 3, 0});
    reads(3, {NodeId(5)});
    CHECK_FALSE(toy.graph.onCycle(NodeId(2)));
    CHECK(toy.graph.tangle(NodeId(2)).empty());
    CHECK(toy.update() == 5); // everything but 5, which nobody touched
    CHECK(toy.values == std::vector<int>{0, 4, 3, 2, 4, 1});
    reads(5, {NodeId(5)});
    CHECK(numbers(toy.graph.cycleThrough(NodeId(5))) == std::vector<std::size_t>{5, 5});
}

TEST_CASE("of equally short rings the one with smaller ids is told") {
    Graph g;
    g.addMany(5);
    g.setReads(NodeId(0), {NodeId(3), NodeId(2)});
    g.setReads(NodeId(2), {NodeId(0)});
    g.setReads(NodeId(3), {NodeId(0)});
    CHECK(numbers(g.cycleThrough(NodeId(0))) == std::vector<std::size_t>{0, 2, 0});
}

TEST_CASE("a removed node is not worked out and its readers are") {
    Toy toy;
    toy.add(3);
    toy.graph.setReads(NodeId(1), {NodeId(0)});
    toy.graph.setReads(NodeId(2), {NodeId(1)});
    toy.update();
    toy.graph.remove(NodeId(1));
    toy.graph.touch(NodeId(1));
    CHECK(toy.update() == 1);
    CHECK(toy.log == std::vector<std::size_t>{2});
    CHECK(toy.graph.reads(NodeId(2)).empty());
    CHECK(toy.graph.feeds(NodeId(0)).empty());
    CHECK(numbers(toy.graph.order()) == std::vector<std::size_t>{0, 2});
}

TEST_CASE("upstream and downstream stand in dependency order") {
    Graph g;
    g.addMany(6);
    g.setReads(NodeId(0), {NodeId(4)});
    g.setReads(NodeId(4), {NodeId(2), NodeId(5)});
    g.setReads(NodeId(2), {NodeId(5)});
    g.setReads(NodeId(3), {NodeId(0)});
    CHECK(numbers(g.upstream(NodeId(0))) == std::vector<std::size_t>{5, 2, 4});
    CHECK(numbers(g.downstream(NodeId(5))) == std::vector<std::size_t>{2, 4, 0, 3});
    CHECK(g.upstream(NodeId(1)).empty());
}

TEST_CASE("a chain of 60,000 read from its end, and a ring of 60,000, need no recursion") {
    constexpr std::size_t kLength = 60000;
    Toy toy;
    toy.add(kLength);
    for (std::size_t i = 0; i + 1 < kLength; ++i) toy.graph.setReads(NodeId(i), {NodeId(i + 1)});
    CHECK(toy.update() == kLength);
    CHECK(toy.log.front() == kLength - 1);
    CHECK(toy.log.back() == 0);
    CHECK(toy.graph.upstream(NodeId(0)).size() == kLength - 1);
    toy.inputs[10] += 1;
    toy.graph.touch(NodeId(10));
    CHECK(toy.update() == 11);
    toy.graph.setReads(NodeId(kLength - 1), {NodeId(0)});
    CHECK(toy.update() == kLength);
    CHECK(toy.graph.cycleThrough(NodeId(7)).size() == kLength + 1);
    toy.graph.setReads(NodeId(kLength - 1), {});
    CHECK(toy.update() == kLength);
    CHECK(toy.values[kLength - 1] == 1);
}

TEST_CASE("a million nodes are taken") {
    constexpr std::size_t kCount = 1000000;
    Graph g;
    g.addMany(kCount);
    for (std::size_t i = 1; i < kCount; ++i) g.setReads(NodeId(i), {NodeId(i / 2)});
    std::size_t worked = 0;
    const auto count = [&](NodeId) {
        ++worked;
        return true;
    };
    CHECK(g.update(count, count) == kCount);
    CHECK(worked == kCount);
    g.touch(NodeId(kCount - 1));
    CHECK(g.update(count, count) == 1);
    g.touch(NodeId(kCount / 2 - 1));
    CHECK(g.update(count, count) == 3); // itself and its two readers
}

TEST_CASE("10,000 random edits: same values as from scratch, and only what had to be was worked out") {
    std::mt19937 random(20260504);
    const auto below = [&](std::size_t n) { return static_cast<std::size_t>(random() % n); };
    std::size_t rings = 0;
    std::size_t stopped = 0;
    for (int round = 0; round < 20; ++round) {
        Toy toy;
        const std::size_t count = 4 + below(26);
        toy.add(count);
        toy.update();
        for (int edit = 0; edit < 500; ++edit) {
            std::set<std::size_t> touched;
            const auto before = closure(toy.graph);
            for (std::size_t batch = 1 + below(3); batch > 0; --batch) {
                const std::size_t n = below(toy.inputs.size());
                if (!toy.alive[n]) continue;
                const std::size_t what = below(20);
                touched.insert(n);
                if (what < 10) {
                    toy.inputs[n] = static_cast<int>(below(8));
                    toy.graph.touch(NodeId(n));
                } else if (what < 18) {
                    Reads reads;
                    for (std::size_t k = below(4); k > 0; --k) {
                        const std::size_t r = below(toy.inputs.size());
                        if (toy.alive[r] && (r < n || below(12) == 0)) reads.emplace_back(r);
                    }
                    toy.graph.setReads(NodeId(n), reads);
                } else if (what == 18 && toy.inputs.size() < 40) {
                    touched.insert(toy.inputs.size());
                    toy.add(1);
                } else if (what == 19 && below(4) == 0) {
                    for (NodeId f : toy.graph.feeds(NodeId(n))) touched.insert(f.index());
                    toy.graph.remove(NodeId(n));
                    toy.alive[n] = false;
                    touched.erase(n);
                }
            }
            std::erase_if(touched, [&](std::size_t n) { return !toy.alive[n]; });
            const auto reach = closure(toy.graph);
            toy.update();
            const std::vector<int> wanted = fresh(toy, reach);
            for (std::size_t i = 0; i < wanted.size(); ++i)
                if (toy.alive[i]) REQUIRE(toy.values[i] == wanted[i]);

            // Worked out once each; only what was edited, what reads a value that really changed, and what
            // stands or stood on a ring whose edges were edited.
            const std::set<std::size_t> changed(toy.changed.begin(), toy.changed.end());
            const std::set<std::size_t> worked(toy.log.begin(), toy.log.end());
            REQUIRE(worked.size() == toy.log.size());
            const auto ringWith = [&](const std::vector<std::vector<bool>>& r, std::size_t a, std::size_t b) {
                return a < r.size() && b < r.size() && r[a][b] && r[b][a];
            };
            for (std::size_t n : worked) {
                bool due = touched.count(n) != 0;
                const bool onRing = reach[n][n];
                for (NodeId r : toy.graph.reads(NodeId(n))) due = due || (!onRing && changed.count(r.index()) != 0);
                for (std::size_t t : touched) due = due || ringWith(before, n, t) || ringWith(reach, n, t);
                for (std::size_t t = 0; t < before.size(); ++t) due = due || (!toy.alive[t] && ringWith(before, n, t));
                INFO("round ", round, " edit ", edit, " n ", n, " onRing ", onRing, " wasRing ", n < before.size() && before[n][n], " value ", toy.values[n],
                     " touched ", *touched.begin());
                REQUIRE(due);
            }
            rings += static_cast<std::size_t>(std::count(toy.values.begin(), toy.values.end(), -1) > 0);
            stopped += static_cast<std::size_t>(changed.size() < worked.size());

            // The order: reads before readers, except within a ring.
            std::map<std::size_t, std::size_t> rank;
            const auto order = toy.graph.order();
            for (std::size_t i = 0; i < order.size(); ++i) rank[order[i].index()] = i;
            for (NodeId n : order)
                for (NodeId r : toy.graph.reads(n))
                    if (!reach[r.index()][n.index()]) REQUIRE(rank[r.index()] < rank[n.index()]);
            // Rings: who stands on one, and how short the path through it is.
            for (NodeId n : order) {
                REQUIRE(toy.graph.onCycle(n) == reach[n.index()][n.index()]);
                const auto path = toy.graph.cycleThrough(n);
                REQUIRE(path.empty() == !reach[n.index()][n.index()]);
                for (std::size_t i = 0; i + 1 < path.size(); ++i) {
                    const auto& reads = toy.graph.reads(path[i]);
                    REQUIRE(std::find(reads.begin(), reads.end(), path[i + 1]) != reads.end());
                }
                if (!path.empty()) {
                    // Plain breadth-first search for the length.
                    std::vector<std::size_t> front{n.index()};
                    std::set<std::size_t> seen;
                    std::size_t steps = 0;
                    while (seen.count(n.index()) == 0) {
                        std::vector<std::size_t> next;
                        for (std::size_t f : front)
                            for (NodeId r : toy.graph.reads(NodeId(f)))
                                if (seen.insert(r.index()).second) next.push_back(r.index());
                        front = next;
                        ++steps;
                    }
                    REQUIRE(path.size() == steps + 1);
                }
            }
        }
    }
    CHECK(rings > 500);
    CHECK(stopped > 2000);
}

TEST_CASE("many edges at once and one by one give the same order relation") {
    // Written bottom-up: every edge runs against the first ranks.
    std::mt19937 random(7);
    constexpr std::size_t kCount = 3000;
    Graph g;
    g.addMany(kCount);
    for (std::size_t i = 0; i + 1 < kCount; ++i) {
        Reads reads;
        for (int k = 0; k < 3; ++k) reads.emplace_back(i + 1 + random() % (kCount - 1 - i));
        g.setReads(NodeId(i), reads);
        if (i % 500 == 0) CHECK_FALSE(g.onCycle(NodeId(0))); // settles what is there so far
    }
    std::vector<std::size_t> rank(kCount);
    const auto order = g.order();
    REQUIRE(order.size() == kCount);
    for (std::size_t i = 0; i < kCount; ++i) rank[order[i].index()] = i;
    bool right = true;
    for (std::size_t i = 0; i < kCount; ++i)
        for (NodeId r : g.reads(NodeId(i))) right = right && rank[r.index()] < rank[i];
    CHECK(right);
}
