// SPDX-License-Identifier: MIT
#pragma once

#include <QProxyStyle>

namespace spanwright::views {

/// Fusion, whose outlines are darker than what is around them: on dark paper fields and boxes to be ticked get outlines that are seen.
class PaperStyle : public QProxyStyle {
public:
    PaperStyle();
    void drawPrimitive(PrimitiveElement element, const QStyleOption* option, QPainter* painter, const QWidget* widget) const override;
};

} // namespace spanwright::views
