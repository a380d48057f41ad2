// SPDX-License-Identifier: MIT
// How ranks and rings follow the edges.
#include <algorithm>

#include "engine/graph/graph.h"

namespace spanwright::graph {

bool Graph::hasEdge(Edge e) const {
    const std::vector<NodeId>& feeds = m_nodes[e.from].feeds;
    return std::binary_search(feeds.begin(), feeds.end(), NodeId(e.to));
}

void Graph::settle() const {
    if (!m_changed) return;
    m_changed = false;
    // One edge at a time as long as that is cheaper than ordering everything anew: a job that is read in
    // from a text written bottom-up would otherwise cost the square of its length.
    std::size_t budget = m_nodes.size() + m_edges + 64;
    std::vector<Edge> left;
    std::vector<Edge> waiting;
    waiting.swap(m_against);
    bool enough = true;
    for (const Edge& e : waiting) {
        if (!hasEdge(e) || m_rank[e.from] < m_rank[e.to]) continue;
        if (!placeEdge(e, budget)) {
            if (budget == 0) {
                enough = false;
                break;
            }
            left.push_back(e);
        }
    }
    if (enough)
        m_against = std::move(left);
    else
        sortAll();
    findTangles();
}

/// Pearce and Kelly's step for one edge against the ranks. False: it closes a ring, or the budget is used up
/// (then 0). Edges against the ranks are not followed, so what is followed is free of rings.
bool Graph::placeEdge(Edge e, std::size_t& budget) const {
    if (e.from == e.to) return false;
    const Raw low = m_rank[e.to];
    const Raw high = m_rank[e.from];
    const std::uint32_t seen = nextMark();
    std::vector<Raw> ahead{e.to};
    m_mark[e.to] = seen;
    for (std::size_t i = 0; i < ahead.size(); ++i) {
        const Raw at = ahead[i];
        const std::size_t cost = 1 + m_nodes[at].feeds.size();
        if (cost >= budget) {
            budget = 0;
            return false;
        }
        budget -= cost;
        for (NodeId f : m_nodes[at].feeds) {
            const Raw next = f.value;
            if (m_rank[next] <= m_rank[at] || m_rank[next] > high) continue;
            if (next == e.from) return false;
            if (m_mark[next] == seen) continue;
            m_mark[next] = seen;
            ahead.push_back(next);
        }
    }
    std::vector<Raw> behind{e.from};
    m_mark[e.from] = seen;
    for (std::size_t i = 0; i < behind.size(); ++i) {
        const Raw at = behind[i];
        const std::size_t cost = 1 + m_nodes[at].reads.size();
        if (cost >= budget) {
            budget = 0;
            return false;
        }
        budget -= cost;
        for (NodeId r : m_nodes[at].reads) {
            const Raw next = r.value;
            if (m_rank[next] >= m_rank[at] || m_rank[next] < low || m_mark[next] == seen) continue;
            m_mark[next] = seen;
            behind.push_back(next);
        }
    }
    const auto byRank = [this](Raw a, Raw b) { return m_rank[a] < m_rank[b]; };
    std::sort(ahead.begin(), ahead.end(), byRank);
    std::sort(behind.begin(), behind.end(), byRank);
    std::vector<Raw> places;
    places.reserve(ahead.size() + behind.size());
    for (Raw n : ahead) places.push_back(m_rank[n]);
    for (Raw n : behind) places.push_back(m_rank[n]);
    std::sort(places.begin(), places.end());
    std::size_t i = 0;
    for (Raw n : behind) m_rank[n] = places[i++];
    for (Raw n : ahead) m_rank[n] = places[i++];
    return true;
}

/// Depth first over everything without recursion; nodes are ranked as they are finished, reads before
/// readers. What still runs against the ranks then closes a ring.
void Graph::sortAll() const {
    struct Frame {
        Raw node;
        std::size_t next;
    };
    const std::uint32_t seen = nextMark();
    std::vector<Frame> stack;
    Raw rank = 0;
    for (Raw start = 0; start < m_nodes.size(); ++start) {
        if (m_mark[start] == seen) continue;
        m_mark[start] = seen;
        stack.push_back({start, 0});
        while (!stack.empty()) {
            Frame& top = stack.back();
            const std::vector<NodeId>& reads = m_nodes[top.node].reads;
            if (top.next == reads.size()) {
                m_rank[top.node] = rank++;
                stack.pop_back();
                continue;
            }
            const Raw next = reads[top.next++].value;
            if (m_mark[next] == seen) continue;
            m_mark[next] = seen;
            stack.push_back({next, 0});
        }
    }
    m_against.clear();
    for (Raw n = 0; n < m_nodes.size(); ++n)
        for (NodeId r : m_nodes[n].reads)
            if (m_rank[r.value] >= m_rank[n]) m_against.push_back({r.value, n});
}

/// Tarjan's strongly connected components, from the ends of the edges against the ranks: every ring has one.
void Graph::findTangles() const {
    std::vector<std::vector<Raw>> found;
    if (!m_against.empty()) {
        struct Frame {
            Raw node;
            std::size_t next;
        };
        // Number in order of discovery and lowest number reached; only for nodes that are visited.
        std::vector<Raw> number(m_nodes.size(), 0);
        std::vector<Raw> lowest(m_nodes.size(), 0);
        std::vector<char> open(m_nodes.size(), 0);
        std::vector<Raw> path;
        std::vector<Frame> stack;
        Raw count = 0;
        const auto enter = [&](Raw n) {
            number[n] = lowest[n] = ++count;
            open[n] = 1;
            path.push_back(n);
            stack.push_back({n, 0});
        };
        for (const Edge& e : m_against) {
            if (number[e.to] != 0) continue;
            enter(e.to);
            while (!stack.empty()) {
                Frame& top = stack.back();
                const Raw at = top.node;
                const std::vector<NodeId>& feeds = m_nodes[at].feeds;
                if (top.next < feeds.size()) {
                    const Raw next = feeds[top.next++].value;
                    if (number[next] == 0)
                        enter(next);
                    else if (open[next] != 0)
                        lowest[at] = std::min(lowest[at], number[next]);
                    continue;
                }
                stack.pop_back();
                if (!stack.empty()) lowest[stack.back().node] = std::min(lowest[stack.back().node], lowest[at]);
                if (lowest[at] != number[at]) continue;
                std::vector<Raw> group;
                Raw n = 0;
                do {
                    n = path.back();
                    path.pop_back();
                    open[n] = 0;
                    group.push_back(n);
                } while (n != at);
                if (group.size() == 1 && !hasEdge({at, at})) continue;
                std::sort(group.begin(), group.end());
                found.push_back(std::move(group));
            }
        }
        std::sort(found.begin(), found.end());
    }
    // Whoever entered, left or stands in another tangle than before must be worked out again, and so must all of
    // a tangle in which something was edited: the path may be another one.
    const auto unsettle = [this](const std::vector<Raw>& group) { m_unrest.insert(m_unrest.end(), group.begin(), group.end()); };
    for (const std::vector<Raw>& old : m_tangles)
        if (!std::binary_search(found.begin(), found.end(), old)) unsettle(old);
    for (const std::vector<Raw>& now : found) {
        const bool edited = std::any_of(now.begin(), now.end(), [this](Raw n) { return m_nodes[n].dirty; });
        if (edited || !std::binary_search(m_tangles.begin(), m_tangles.end(), now)) unsettle(now);
    }
    for (const std::vector<Raw>& old : m_tangles)
        for (Raw n : old) m_tangleOf[n] = kNoTangle;
    m_tangles = std::move(found);
    for (std::size_t i = 0; i < m_tangles.size(); ++i)
        for (Raw n : m_tangles[i]) m_tangleOf[n] = static_cast<Raw>(i);
}

} // namespace spanwright::graph
