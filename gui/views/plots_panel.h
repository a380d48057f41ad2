// SPDX-License-Identifier: MIT
#pragma once

#include <QScrollArea>
#include <QTimer>

#include <optional>
#include <vector>

#include "gui/models/job_session.h"

class QLabel;
class QVBoxLayout;

namespace spanwright::views {

class PlotView;

/// The diagrams of one member, below one another. Drawn when seen, behind what is more pressing.
class PlotsPanel : public QScrollArea {
    Q_OBJECT

public:
    explicit PlotsPanel(const models::JobSession& session, QWidget* parent = nullptr);
    void showMember(std::optional<std::size_t> member);
    /// Draws anew soon; at once with `now`.
    void refresh(bool now = false);
    [[nodiscard]] const std::vector<PlotView*>& plots() const { return m_plots; }

protected:
    void showEvent(QShowEvent* event) override;

private:
    void draw();
    const models::JobSession& m_session;
    std::optional<std::size_t> m_member;
    std::vector<PlotView*> m_plots;
    QVBoxLayout* m_column;
    QLabel* m_empty;
    QTimer m_soon;
};

} // namespace spanwright::views
