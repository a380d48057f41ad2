// SPDX-License-Identifier: MIT
#pragma once

#include <utility>
#include <vector>

#include "engine/eval/engine.h"

namespace spanwright::eval {

/// While it lives the scope has no lanes; at(i) gives the scope the values of lane i.
class Engine::PerLane {
public:
    explicit PerLane(Engine& e) : m_engine(e), m_slots(std::move(e.m_lanedSlots)), m_axes(std::move(e.m_lanedAxes)), m_caseAxes(e.m_caseAxes) {
        e.m_lanedSlots.clear();
        e.m_lanedAxes.clear();
        e.m_caseAxes = nullptr;
        for (const std::uint32_t s : m_slots) {
            m_slotLanes.push_back(e.m_laneSlot[s]);
            m_slotKept.push_back(e.m_slots[s]);
            e.m_laneSlot[s] = nullptr;
        }
        for (const meaning::QuantityId a : m_axes) {
            m_axisLanes.push_back(e.m_laneAxis[a.index()]);
            m_axisKept.push_back(e.m_axisRow[a.index()]);
            e.m_laneAxis[a.index()] = nullptr;
        }
    }
    PerLane(const PerLane&) = delete;
    PerLane& operator=(const PerLane&) = delete;
    ~PerLane() {
        for (std::size_t i = 0; i < m_slots.size(); ++i) {
            m_engine.m_laneSlot[m_slots[i]] = m_slotLanes[i];
            m_engine.m_slots[m_slots[i]] = m_slotKept[i];
        }
        for (std::size_t i = 0; i < m_axes.size(); ++i) {
            m_engine.m_laneAxis[m_axes[i].index()] = m_axisLanes[i];
            m_engine.m_axisRow[m_axes[i].index()] = m_axisKept[i];
        }
        m_engine.m_lanedSlots = std::move(m_slots);
        m_engine.m_lanedAxes = std::move(m_axes);
        m_engine.m_caseAxes = m_caseAxes;
    }
    void at(std::size_t lane) {
        for (std::size_t i = 0; i < m_slots.size(); ++i) m_engine.m_slots[m_slots[i]] = m_slotLanes[i][lane];
        for (std::size_t i = 0; i < m_axes.size(); ++i) m_engine.m_axisRow[m_axes[i].index()] = m_axisLanes[i][lane];
    }

private:
    Engine& m_engine;
    std::vector<std::uint32_t> m_slots;
    std::vector<meaning::QuantityId> m_axes;
    const std::vector<meaning::QuantityId>* m_caseAxes;
    std::vector<const double*> m_slotLanes;
    std::vector<double> m_slotKept;
    std::vector<const std::uint32_t*> m_axisLanes;
    std::vector<std::uint32_t> m_axisKept;
};

/// What is worked out by the way, once or lane by lane, reads nothing that varies: for it there are no points.
class PointsAside {
public:
    explicit PointsAside(PointScope*& points) : m_points(points), m_kept(points) { points = nullptr; }
    PointsAside(const PointsAside&) = delete;
    PointsAside& operator=(const PointsAside&) = delete;
    ~PointsAside() { m_points = m_kept; }

private:
    PointScope*& m_points;
    PointScope* m_kept;
};

} // namespace spanwright::eval
