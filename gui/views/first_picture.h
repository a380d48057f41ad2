// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractButton>

#include "gui/ink/palette.h"
#include "gui/models/first_job.h"

class QPainter;

namespace spanwright::views {

/// A builder's pencil drawing of what is to be built, to fill a place. Always the same strokes.
void drawFirstPicture(QPainter& painter, const QRectF& place, models::FirstPicture picture, const ink::Palette& palette);

/// The drawing with its name below, to be chosen by click or key.
class PictureButton : public QAbstractButton {
    Q_OBJECT

public:
    PictureButton(models::FirstPicture picture, QWidget* parent = nullptr);
    [[nodiscard]] models::FirstPicture picture() const { return m_picture; }
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override;
    [[nodiscard]] bool hasHeightForWidth() const override { return true; }
    [[nodiscard]] int heightForWidth(int width) const override;

protected:
    void paintEvent(QPaintEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    models::FirstPicture m_picture;
};

} // namespace spanwright::views
