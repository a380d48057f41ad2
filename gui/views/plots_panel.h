// SPDX-License-Identifier: MIT
#pragma once

#include <QScrollArea>
#include <QTimer>

#include <optional>
#include <vector>

#include "gui/models/job_session.h"

class QCheckBox;
class QLabel;
class QVBoxLayout;

namespace spanwright::views {

class DrawingView;
class PlotView;

/// The sketches and diagrams of one member, below one another; on request with other members of its sheet laid over. Drawn when seen, behind what is more
/// pressing.
class PlotsPanel : public QScrollArea {
    Q_OBJECT

public:
    explicit PlotsPanel(const models::JobSession& session, QWidget* parent = nullptr);
    void showMember(std::optional<std::size_t> member);
    /// Draws anew soon; at once with `now`.
    void refresh(bool now = false);
    /// Lays the other members of the sheet over the diagrams.
    void setOverlaid(bool on);
    [[nodiscard]] const std::vector<PlotView*>& plots() const { return m_plots; }
    [[nodiscard]] const std::vector<DrawingView*>& sketches() const { return m_sketches; }

    /// Never narrower than what is on it: nothing is cut at its right edge.
    [[nodiscard]] QSize minimumSizeHint() const override;

protected:
    void showEvent(QShowEvent* event) override;

private:
    void draw();
    void drawSketches();
    [[nodiscard]] std::vector<std::size_t> others() const;
    const models::JobSession& m_session;
    std::optional<std::size_t> m_member;
    std::vector<PlotView*> m_plots;
    std::vector<DrawingView*> m_sketches;
    QVBoxLayout* m_column;
    QLabel* m_empty;
    QCheckBox* m_overlaid;
    QTimer m_soon;
};

} // namespace spanwright::views
