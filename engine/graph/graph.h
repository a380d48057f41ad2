// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "engine/base/ids.h"

namespace spanwright::graph {

struct NodeTag {};
using NodeId = base::Id<NodeTag>;

/// Dependencies between values, and which of them must be worked out again. Knows no units, no text,
/// no values: a node is a number.
///
/// Invariants: every node has a rank; an edge a -> b (b reads a) has rank(a) < rank(b) unless it is on
/// a cycle. Ranks are kept by moving only the nodes between the two ends of a new edge (Pearce and
/// Kelly, "A dynamic topological sort algorithm for directed acyclic graphs", ACM JEA 11, 2006), so an
/// edit costs no more than the part of the order that it upsets.
///
/// Revisions: each update() is one revision. A node keeps when its value last changed and when it was
/// last worked out; a node that is worked out and comes out equal keeps its old change revision, and
/// its dependents rest.
class Graph {
public:
    [[nodiscard]] NodeId add(); ///< new, dirty, without edges
    /// Adds n nodes at once; gives the first id, the others follow.
    NodeId addMany(std::size_t n);
    /// Says what a node reads from now on (doubles allowed); the node becomes dirty.
    void setReads(NodeId node, const std::vector<NodeId>& reads);
    /// A removed node is never worked out again; nodes that read it stay and become dirty. Ids are not reused.
    void remove(NodeId node);
    void touch(NodeId node); ///< its own input changed: dirty

    [[nodiscard]] const std::vector<NodeId>& reads(NodeId node) const;
    [[nodiscard]] const std::vector<NodeId>& feeds(NodeId node) const;
    [[nodiscard]] std::size_t size() const;

    /// Works out dirty nodes in dependency order. `work` computes one node and says whether its value
    /// changed. Nodes on a cycle are given to `cyclic` instead (once each), and what reads them is worked
    /// out after. Returns how many were worked out. `work` must not change the graph.
    std::size_t update(const std::function<bool(NodeId)>& work, const std::function<bool(NodeId)>& cyclic);

    /// A ring through `node`, as a path that begins and ends at it (both included), each node reading the
    /// next; empty if it lies on none. The shortest such path; ties by smallest id.
    [[nodiscard]] std::vector<NodeId> cycleThrough(NodeId node) const;
    /// All nodes that lie on rings together with `node` (it included), ascending; empty if it lies on none.
    [[nodiscard]] std::vector<NodeId> tangle(NodeId node) const;
    /// The smallest of tangle(node), without listing them; invalid if it lies on no ring.
    [[nodiscard]] NodeId tangleHead(NodeId node) const;
    [[nodiscard]] bool onCycle(NodeId node) const;

    [[nodiscard]] std::uint64_t revision() const;
    [[nodiscard]] std::uint64_t changedAt(NodeId node) const;
    [[nodiscard]] std::uint64_t workedAt(NodeId node) const;

    /// All nodes upstream of `node` (without it), in dependency order.
    [[nodiscard]] std::vector<NodeId> upstream(NodeId node) const;
    [[nodiscard]] std::vector<NodeId> downstream(NodeId node) const;
    /// Every node in dependency order (cyclic ones where they fall).
    [[nodiscard]] std::vector<NodeId> order() const;

private:
    using Raw = std::uint32_t;
    struct Node {
        std::vector<NodeId> reads; ///< without doubles, in the order given
        std::vector<NodeId> feeds; ///< ascending
        std::uint64_t changed = 0; ///< revision in which the value last changed; 0: never
        std::uint64_t worked = 0;
        bool dirty = false; ///< stands in m_dirty
        bool removed = false;
    };
    struct Edge {
        Raw from = 0, to = 0; ///< `to` reads `from`
        friend bool operator==(const Edge&, const Edge&) = default;
    };
    static constexpr Raw kNoTangle = 0xffffffffU;

    void makeDirty(Raw n);
    void link(Raw from, Raw to);
    void unlink(Raw from, Raw to);
    /// Brings ranks and tangles up to date with the edges.
    void settle() const;
    bool placeEdge(Edge e, std::size_t& budget) const;
    void sortAll() const;
    void findTangles() const;
    [[nodiscard]] std::vector<NodeId> reach(NodeId node, bool up) const;
    std::uint32_t nextMark() const;
    [[nodiscard]] bool hasEdge(Edge e) const;

    std::vector<Node> m_nodes;
    std::size_t m_edges = 0;
    std::vector<Raw> m_dirty;
    std::uint64_t m_revision = 0;
    // Derived from the edges; settled when first asked for.
    mutable std::vector<Raw> m_rank;     ///< by node; a permutation of 0..size-1
    mutable std::vector<Edge> m_against; ///< edges that may run against the ranks: not yet placed, or on a ring
    mutable bool m_changed = false;      ///< edges came or went since the last settle()
    mutable std::vector<Raw> m_tangleOf; ///< by node; index into m_tangles
    mutable std::vector<std::vector<Raw>> m_tangles;
    mutable std::vector<Raw> m_unrest;         ///< nodes whose ring came, went or changed: dirty at the next update
    mutable std::vector<std::uint32_t> m_mark; ///< scratch for searches
    mutable std::uint32_t m_markNow = 0;
};

} // namespace spanwright::graph
