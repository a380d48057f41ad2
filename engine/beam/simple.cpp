// SPDX-License-Identifier: MIT
#include "engine/beam/simple.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/beam/bows.h"

namespace spanwright::beam {

namespace {

bool isSimple(const Line& line) {
    if (!line.constantStiffness || !line.ei || line.relief || !line.kinks.empty() || line.supports.size() != 2 || line.loads.empty()) return false;
    if (!std::isfinite(line.from) || !std::isfinite(line.to) || !(line.from < line.to) || !std::isfinite(line.to - line.from)) return false;
    const auto hinge = [](const Support& s, double at) { return s.at == at && !s.fixed && s.sink == 0.0; };
    if (!hinge(line.supports[0], line.from) || !hinge(line.supports[1], line.to)) return false;
    if (line.sinkAction != 0xffffffffU && line.sinkAction >= line.actionCount) return false;
    return std::all_of(line.loads.begin(), line.loads.end(), [&](const Load& l) {
        return l.shape == Load::Shape::Line && l.from == line.from && l.to == line.to && std::isfinite(l.size) && std::isfinite(l.sizeEnd) &&
               l.action < line.actionCount;
    });
}

/// 1/EI or 1/GA; nothing if it has no value, or not the same at both ends.
bool complianceOf(const Stiffness& stiffness, const Line& line, double& out) {
    const double x[] = {line.from, line.to};
    double v[] = {0.0, 0.0};
    stiffness(x, 2, v);
    if (!std::isfinite(v[0]) || v[0] < std::numeric_limits<double>::min() || v[0] != v[1]) return false;
    out = 1.0 / v[0];
    return true;
}

} // namespace

std::shared_ptr<const SolvedData> solveSimple(const Line& line) {
    if (!isSimple(line)) return nullptr;
    double bend = 0.0, shear = 0.0;
    if (!complianceOf(line.ei, line, bend) || (line.ga && !complianceOf(line.ga, line, shear))) return nullptr;
    const auto made = std::make_shared<SolvedData>();
    SolvedData& data = *made;
    Cell& cell = data.cells.emplace_back();
    cell.left = line.from;
    cell.right = line.to;
    const double h = cell.width();
    for (std::size_t k = 0; k < cell.bend.size(); ++k) cell.bend[k] = h * bend / static_cast<double>(k + 1);
    for (std::size_t k = 0; k < cell.shear.size(); ++k) cell.shear[k] = h * shear / static_cast<double>(k + 1);
    for (const Load& load : line.loads) {
        std::size_t p = 0;
        while (p < data.parts.size() && (data.parts[p].action != load.action || data.parts[p].eachSpan != load.eachSpan)) ++p;
        if (p == data.parts.size()) {
            data.parts.push_back({load.action, load.eachSpan});
            data.states.emplace_back();
        }
        data.states[p].load += load.size;
        data.states[p].loadRise += load.sizeEnd - load.size;
    }
    const std::size_t parts = data.parts.size();
    data.reactions.resize(2 * parts);
    data.holding.resize(2 * parts);
    for (std::size_t p = 0; p < parts; ++p) {
        CellState& s = data.states[p];
        s.shearLeft = h * (0.5 * s.load + s.loadRise / 6.0);
        const double left = s.shearLeft, right = h * (0.5 * s.load + s.loadRise / 3.0);
        data.reactions[p] = left;
        data.reactions[parts + p] = right;
        if (!std::isfinite(left) || !std::isfinite(right)) return nullptr;
        // As of every line: what is left over of forces, and of moments about the left end.
        const double force = h * (s.load + 0.5 * s.loadRise), moment = h * h * (0.5 * s.load + s.loadRise / 3.0);
        const double forces = std::fabs(force) + std::fabs(left) + std::fabs(right), moments = std::fabs(moment) + std::fabs(right * h);
        if (forces > 0.0) data.residual = std::max(data.residual, std::fabs(force - left - right) / forces);
        if (moments > 0.0) data.residual = std::max(data.residual, std::fabs(moment - right * h) / moments);
    }
    data.from = line.from;
    data.to = line.to;
    data.actionCount = line.actionCount;
    data.breaks = {line.from, line.to};
    data.supportAt.push_back(line.from);
    data.supportAt.push_back(line.to);
    data.shearJumps.assign(2, 1);
    data.momentJumps.assign(2, 0);
    data.accuracy = kConstantAccuracy;
    data.hasDeflection = data.constant = true;
    data.even = std::all_of(line.loads.begin(), line.loads.end(), [](const Load& l) { return l.size == l.sizeEnd; });
    addBows(data);
    for (const double bow : data.bows)
        if (!std::isfinite(bow)) return nullptr;
    return made;
}

} // namespace spanwright::beam
