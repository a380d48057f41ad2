// SPDX-License-Identifier: MIT
#pragma once

#include <QWidget>

#include <optional>
#include <vector>

#include "engine/job/verdict.h"
#include "gui/ink/palette.h"

namespace spanwright::views {

/// One diagram of a member: curves over x with units, extremes labelled, the values under the pointer. Left and right
/// move the pointer by key. Other members of the same sheet can be laid over it: of each the largest and the smallest of its
/// cases, in thin strokes of its own kind.
class PlotView : public QWidget {
    Q_OBJECT

public:
    explicit PlotView(QWidget* parent = nullptr);
    /// The same diagram of another member.
    struct Other {
        QString mark;
        job::PlotView plot;
    };
    void setPlot(job::PlotView plot, const QString& mark, std::vector<Other> others = {});
    [[nodiscard]] QSize sizeHint() const override;
    /// The sample that the pointer stands at; nothing when it stands nowhere.
    [[nodiscard]] std::optional<std::size_t> pointer() const { return m_pointer; }
    /// What stands under the pointer, in words.
    [[nodiscard]] QString readOut() const;

protected:
    void paintEvent(QPaintEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void leaveEvent(QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    struct Extreme {
        std::size_t curve = 0, at = 0;
    };
    /// The outline of another member's curves.
    struct Outline {
        QString mark;
        std::vector<double> x, least, most;
    };
    [[nodiscard]] QRectF frame() const;
    [[nodiscard]] QString title() const;
    [[nodiscard]] qreal titleHeight(int width) const;
    [[nodiscard]] int legendLines() const;
    void paintOutlines(QPainter& painter, const QRectF& frame) const;
    void paintLegend(QPainter& painter, const QRectF& frame, qreal top) const;
    [[nodiscard]] QPointF at(const QRectF& frame, double x, double y) const;
    void setPointer(std::optional<std::size_t> pointer);
    void measure();
    job::PlotView m_plot;
    std::vector<Outline> m_others;
    QString m_mark;
    double m_left = 0, m_right = 1, m_low = 0, m_high = 1;
    std::optional<Extreme> m_most, m_least;
    std::optional<std::size_t> m_pointer;
    bool m_drawable = false;
};

} // namespace spanwright::views
