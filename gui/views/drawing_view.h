// SPDX-License-Identifier: MIT
#pragma once

#include <QWidget>

#include "engine/report/drawing.h"

namespace spanwright::views {

/// A drawing of the report, such as a sketch, in the window's own ink: as wide as there is room for, never much
/// larger than on paper, and always whole.
class DrawingView : public QWidget {
    Q_OBJECT

public:
    explicit DrawingView(QWidget* parent = nullptr);
    /// `caption` stands below the drawing and is what a screen reader says of it.
    void setDrawing(report::Drawing drawing, const QString& caption);
    [[nodiscard]] const QString& caption() const { return m_caption; }
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] bool hasHeightForWidth() const override { return true; }
    [[nodiscard]] int heightForWidth(int width) const override;

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    [[nodiscard]] double scaleFor(int width) const;
    [[nodiscard]] int captionHeight(int width) const;
    report::Drawing m_drawing;
    QString m_caption;
};

} // namespace spanwright::views
