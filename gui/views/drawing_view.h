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
    /// How many times larger than on paper letters are, against the lines around them: those that grew least.
    [[nodiscard]] double letters() const { return m_letters; }
    [[nodiscard]] const QString& caption() const { return m_caption; }
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] bool hasHeightForWidth() const override { return true; }
    [[nodiscard]] int heightForWidth(int width) const override;

protected:
    void paintEvent(QPaintEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    [[nodiscard]] double scaleFor(int width) const;
    [[nodiscard]] int captionHeight(int width) const;
    /// Where a drawing is small its letters are larger than on paper, as far as none falls on another or on a line.
    void fitLetters();
    report::Drawing m_drawing, m_fitted; ///< as given; with the letters of the present width
    int m_fittedFor = -1;
    double m_letters = 1;
    QString m_caption;
};

} // namespace spanwright::views
