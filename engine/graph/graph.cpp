// SPDX-License-Identifier: MIT
#include "engine/graph/graph.h"

#include <algorithm>
#include <cassert>
#include <queue>

namespace spanwright::graph {

NodeId Graph::add() { return addMany(1); }

NodeId Graph::addMany(std::size_t n) {
    const std::size_t first = m_nodes.size();
    m_nodes.resize(first + n);
    m_rank.resize(first + n);
    m_tangleOf.resize(first + n, kNoTangle);
    m_mark.resize(first + n, 0);
    for (std::size_t i = first; i < first + n; ++i) {
        m_rank[i] = static_cast<Raw>(i);
        makeDirty(static_cast<Raw>(i));
    }
    return NodeId(first);
}

void Graph::makeDirty(Raw n) {
    Node& node = m_nodes[n];
    if (node.dirty || node.removed) return;
    node.dirty = true;
    m_dirty.push_back(n);
}

void Graph::touch(NodeId node) { makeDirty(node.value); }

std::uint32_t Graph::nextMark() const {
    if (++m_markNow == 0) {
        std::fill(m_mark.begin(), m_mark.end(), 0U);
        m_markNow = 1;
    }
    return m_markNow;
}

void Graph::link(Raw from, Raw to) {
    std::vector<NodeId>& feeds = m_nodes[from].feeds;
    const NodeId id(to);
    if (feeds.empty() || feeds.back() < id)
        feeds.push_back(id);
    else
        feeds.insert(std::lower_bound(feeds.begin(), feeds.end(), id), id);
    ++m_edges;
    if (m_rank[from] >= m_rank[to]) {
        m_against.push_back({from, to});
        m_changed = true;
    }
    // An edge that runs with the ranks can still widen a tangle it starts or ends in.
    if (!m_tangles.empty()) m_changed = true;
}

void Graph::unlink(Raw from, Raw to) {
    std::vector<NodeId>& feeds = m_nodes[from].feeds;
    feeds.erase(std::lower_bound(feeds.begin(), feeds.end(), NodeId(to)));
    --m_edges;
    // Without edges against the ranks there is no ring that could have gone.
    if (!m_against.empty() || !m_tangles.empty()) m_changed = true;
}

void Graph::setReads(NodeId node, const std::vector<NodeId>& reads) {
    const Raw n = node.value;
    Node& self = m_nodes[n];
    assert(!self.removed);
    makeDirty(n);
    std::vector<NodeId> wanted;
    wanted.reserve(reads.size());
    const std::uint32_t seen = nextMark();
    for (NodeId r : reads) {
        if (m_mark[r.value] == seen || m_nodes[r.value].removed) continue;
        m_mark[r.value] = seen;
        wanted.push_back(r);
    }
    if (wanted == self.reads) return;
    for (NodeId r : self.reads)
        if (m_mark[r.value] != seen) unlink(r.value, n);
    const std::uint32_t had = nextMark();
    for (NodeId r : self.reads) m_mark[r.value] = had;
    for (NodeId r : wanted)
        if (m_mark[r.value] != had) link(r.value, n);
    self.reads = std::move(wanted);
}

void Graph::remove(NodeId node) {
    const Raw n = node.value;
    if (m_nodes[n].removed) return;
    setReads(node, {});
    const std::vector<NodeId> readers = m_nodes[n].feeds;
    for (NodeId reader : readers) {
        std::vector<NodeId>& reads = m_nodes[reader.value].reads;
        reads.erase(std::find(reads.begin(), reads.end(), node));
        unlink(n, reader.value);
        makeDirty(reader.value);
    }
    m_nodes[n].removed = true; // stays in m_dirty if it was there; update() passes over it
}

const std::vector<NodeId>& Graph::reads(NodeId node) const { return m_nodes[node.index()].reads; }
const std::vector<NodeId>& Graph::feeds(NodeId node) const { return m_nodes[node.index()].feeds; }
std::size_t Graph::size() const { return m_nodes.size(); }
std::uint64_t Graph::revision() const { return m_revision; }
std::uint64_t Graph::changedAt(NodeId node) const { return m_nodes[node.index()].changed; }
std::uint64_t Graph::workedAt(NodeId node) const { return m_nodes[node.index()].worked; }

std::size_t Graph::update(const std::function<bool(NodeId)>& work, const std::function<bool(NodeId)>& cyclic) {
    settle();
    for (Raw n : m_unrest) makeDirty(n);
    m_unrest.clear();
    if (m_dirty.empty()) return 0;
    ++m_revision;
    const auto later = [this](Raw a, Raw b) { return m_rank[a] > m_rank[b]; };
    std::priority_queue<Raw, std::vector<Raw>, decltype(later)> queue(later, std::move(m_dirty));
    m_dirty.clear();
    std::size_t count = 0;
    while (!queue.empty()) {
        const Raw n = queue.top();
        queue.pop();
        Node& node = m_nodes[n];
        node.dirty = false;
        if (node.removed) continue;
        node.worked = m_revision;
        ++count;
        const bool changed = m_tangleOf[n] == kNoTangle ? work(NodeId(n)) : cyclic(NodeId(n));
        if (!changed) continue;
        node.changed = m_revision;
        for (NodeId reader : node.feeds) {
            // What stands on a ring is settled by the ring alone, not by the values in it.
            if (m_nodes[reader.value].dirty || m_tangleOf[reader.value] != kNoTangle) continue;
            m_nodes[reader.value].dirty = true;
            queue.push(reader.value);
        }
    }
    return count;
}

bool Graph::onCycle(NodeId node) const {
    settle();
    return m_tangleOf[node.index()] != kNoTangle;
}

std::vector<NodeId> Graph::tangle(NodeId node) const {
    settle();
    std::vector<NodeId> out;
    if (m_tangleOf[node.index()] == kNoTangle) return out;
    for (Raw n : m_tangles[m_tangleOf[node.index()]]) out.emplace_back(n);
    return out;
}

NodeId Graph::tangleHead(NodeId node) const {
    settle();
    const Raw tangle = m_tangleOf[node.index()];
    return tangle == kNoTangle ? NodeId() : NodeId(m_tangles[tangle].front());
}

std::vector<NodeId> Graph::cycleThrough(NodeId node) const {
    settle();
    const Raw tangle = m_tangleOf[node.index()];
    if (tangle == kNoTangle) return {};
    // Breadth first along feeds gives every node its number of reads to reach `node`; then walk down.
    const std::uint32_t seen = nextMark();
    std::vector<Raw> queue{node.value};
    std::vector<std::pair<Raw, std::uint32_t>> distances;
    m_mark[node.value] = seen;
    std::vector<std::uint32_t> steps{0};
    for (std::size_t i = 0; i < queue.size(); ++i) {
        distances.emplace_back(queue[i], steps[i]);
        for (NodeId f : m_nodes[queue[i]].feeds) {
            if (m_tangleOf[f.value] != tangle || m_mark[f.value] == seen) continue;
            m_mark[f.value] = seen;
            queue.push_back(f.value);
            steps.push_back(steps[i] + 1);
        }
    }
    std::sort(distances.begin(), distances.end());
    const auto stepsFrom = [&](NodeId n) {
        const auto it = std::lower_bound(distances.begin(), distances.end(), std::pair<Raw, std::uint32_t>{n.value, 0});
        return it->second;
    };
    std::vector<NodeId> path{node};
    NodeId at = node;
    do {
        NodeId best;
        for (NodeId r : m_nodes[at.index()].reads) {
            if (m_tangleOf[r.value] != tangle) continue;
            if (!best.valid() || stepsFrom(r) < stepsFrom(best) || (stepsFrom(r) == stepsFrom(best) && r < best)) best = r;
        }
        path.push_back(best);
        at = best;
    } while (at != node);
    return path;
}

std::vector<NodeId> Graph::reach(NodeId node, bool up) const {
    settle();
    const std::uint32_t seen = nextMark();
    m_mark[node.index()] = seen;
    std::vector<NodeId> out;
    std::vector<NodeId> stack{node};
    while (!stack.empty()) {
        const NodeId at = stack.back();
        stack.pop_back();
        for (NodeId next : up ? m_nodes[at.index()].reads : m_nodes[at.index()].feeds) {
            if (m_mark[next.index()] == seen) continue;
            m_mark[next.index()] = seen;
            out.push_back(next);
            stack.push_back(next);
        }
    }
    std::sort(out.begin(), out.end(), [this](NodeId a, NodeId b) { return m_rank[a.index()] < m_rank[b.index()]; });
    return out;
}

std::vector<NodeId> Graph::upstream(NodeId node) const { return reach(node, true); }
std::vector<NodeId> Graph::downstream(NodeId node) const { return reach(node, false); }

std::vector<NodeId> Graph::order() const {
    settle();
    std::vector<NodeId> out(m_nodes.size());
    for (std::size_t i = 0; i < m_nodes.size(); ++i) out[m_rank[i]] = NodeId(i);
    std::erase_if(out, [this](NodeId n) { return m_nodes[n.index()].removed; });
    return out;
}

} // namespace spanwright::graph
