// SPDX-License-Identifier: MIT
#include "engine/beam/parts.h"

#include <algorithm>
#include <utility>

namespace spanwright::beam {

namespace {

constexpr std::ptrdiff_t kEverywhere = -1;

class Sorter {
public:
    Sorter(const FewCells& cells, Few<PartLoads>& parts) : m_cells(cells), m_parts(parts) {}

    PartLoads& part(std::uint32_t action, std::ptrdiff_t segment) {
        const std::pair<std::uint32_t, std::ptrdiff_t> of{action, segment};
        const auto found = std::find(m_of.begin(), m_of.end(), of);
        if (found != m_of.end()) return m_parts[static_cast<std::size_t>(found - m_of.begin())];
        m_of.push_back(of);
        PartLoads& added = m_parts.emplace_back();
        added.part = {action, segment != kEverywhere};
        added.load.assign(m_cells.size(), 0.0);
        added.loadRise.assign(m_cells.size(), 0.0);
        added.force.assign(m_cells.size() + 1, 0.0);
        added.couple.assign(m_cells.size() + 1, 0.0);
        return added;
    }

    void add(const Load& load) {
        const std::size_t first = jointAt(m_cells, load.from);
        if (load.shape != Load::Shape::Line) {
            // At a support between two spans the load counts with the span to its right.
            const std::size_t cell = std::min(first, m_cells.size() - 1);
            PartLoads& to = part(load.action, segmentFor(load, cell));
            (load.shape == Load::Shape::Point ? to.force : to.couple)[first] += load.size;
            return;
        }
        const double slope = load.to > load.from ? (load.sizeEnd - load.size) / (load.to - load.from) : 0.0;
        for (std::size_t c = first; c < m_cells.size() && m_cells[c].right <= load.to; ++c) {
            PartLoads& to = part(load.action, segmentFor(load, c));
            to.load[c] += load.size + slope * (m_cells[c].left - load.from);
            to.loadRise[c] += slope * m_cells[c].width();
        }
    }

private:
    [[nodiscard]] std::ptrdiff_t segmentFor(const Load& load, std::size_t cell) const {
        return load.eachSpan ? static_cast<std::ptrdiff_t>(m_cells[cell].segment) : kEverywhere;
    }

    const FewCells& m_cells;
    Few<std::pair<std::uint32_t, std::ptrdiff_t>> m_of; ///< action and segment of each part
    Few<PartLoads>& m_parts;
};

} // namespace

std::size_t jointAt(const FewCells& cells, double x) {
    const auto it = std::lower_bound(cells.begin(), cells.end(), x, [](const Cell& cell, double at) { return cell.left < at; });
    return static_cast<std::size_t>(it - cells.begin());
}

void partsOf(const Layout& layout, const FewCells& cells, std::uint32_t sinkAction, Few<PartLoads>& parts) {
    Sorter sorter(cells, parts);
    for (const Load& load : layout.loads) sorter.add(load);
    const bool sinks = std::any_of(layout.supports.begin(), layout.supports.end(), [](const Support& s) { return s.sink != 0.0; });
    if (sinks) sorter.part(sinkAction, kEverywhere).settles = true;
}

} // namespace spanwright::beam
