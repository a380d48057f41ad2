// SPDX-License-Identifier: MIT
#pragma once

#include <QEvent>
#include <QLabel>

namespace spanwright::views {

/// Words that can be selected while the mouse is over them. Selectable words are a document, laid out anew at each change: while an edit
/// is painted, words that nobody points at are drawn plainly.
class SelectableLabel final : public QLabel {
public:
    using QLabel::QLabel;

protected:
    void enterEvent(QEnterEvent* event) override {
        setTextInteractionFlags(Qt::TextSelectableByMouse);
        QLabel::enterEvent(event);
    }
    void leaveEvent(QEvent* event) override {
        QLabel::leaveEvent(event);
        if (!hasSelectedText()) setTextInteractionFlags(Qt::LinksAccessibleByMouse);
    }
};

} // namespace spanwright::views
