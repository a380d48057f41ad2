// SPDX-License-Identifier: MIT
#include "gui/views/cautions_foot.h"

#include <QDialog>
#include <QDialogButtonBox>
#include <QEvent>
#include <QHBoxLayout>
#include <QLabel>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QScrollArea>
#include <QVBoxLayout>

#include <algorithm>

#include "gui/ink/palette.h"

namespace spanwright::views {

CautionsFoot::CautionsFoot(QWidget* parent) : QWidget(parent), m_area(new QScrollArea(this)), m_words(new QLabel(this)), m_more(new QPushButton(this)) {
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(10, 4, 10, 4);
    row->addWidget(m_area, 1);
    m_area->setWidget(m_words);
    m_area->setWidgetResizable(true);
    m_area->setFrameStyle(QFrame::NoFrame);
    m_area->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    m_area->setAccessibleName(tr("Cautions"));
    m_area->viewport()->setAutoFillBackground(false);
    m_words->setAlignment(Qt::AlignLeft | Qt::AlignTop);
    row->addWidget(m_more, 0, Qt::AlignVCenter);
    m_words->setWordWrap(true);
    m_words->setTextFormat(Qt::PlainText);
    fitFonts();
    m_more->setFlat(true);
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    setAutoFillBackground(true);
    setBackgroundRole(QPalette::AlternateBase);
    connect(m_more, &QPushButton::clicked, this, &CautionsFoot::showAll);
}

void CautionsFoot::showAll() {
    auto* dialog = new QDialog(window());
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->setWindowTitle(tr("Cautions"));
    auto* column = new QVBoxLayout(dialog);
    // Some sheets have many: they are scrolled to, however small the screen is.
    auto* words = new QPlainTextEdit(m_all.join(QStringLiteral("\n\n")), dialog);
    words->setReadOnly(true);
    words->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
    words->setFrameStyle(QFrame::NoFrame);
    words->setAccessibleName(tr("Cautions"));
    column->addWidget(words, 1);
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close, dialog);
    connect(buttons, &QDialogButtonBox::rejected, dialog, &QDialog::reject);
    column->addWidget(buttons);
    const QSize most = window()->size() * 9 / 10;
    dialog->resize(QSize(fontMetrics().averageCharWidth() * 80, fontMetrics().height() * 30).boundedTo(most));
    dialog->open();
    words->setFocus();
}

void CautionsFoot::setCautions(const QStringList& first, const QStringList& all) {
    m_first = first;
    m_all = all;
    m_more->setText(tr("All %1 cautions").arg(all.size()));
    fit();
}

void CautionsFoot::fitFonts() {
    m_words->setFont(ink::smallFont(font()));
    m_more->setFont(ink::smallFont(font()));
}

void CautionsFoot::changeEvent(QEvent* event) {
    QWidget::changeEvent(event);
    if (event->type() != QEvent::FontChange) return;
    fitFonts();
    fit();
}

void CautionsFoot::resizeEvent(QResizeEvent* event) {
    QWidget::resizeEvent(event);
    fit();
}

/// As many of the first ones as fit into the lines that a window of this height can spare, but the first in any case; what a line less would hide is
/// scrolled to.
void CautionsFoot::fit() {
    const int line = m_words->fontMetrics().lineSpacing(), width = std::max(100, m_area->width() - 4);
    const int most = std::max(line * 2, window()->height() / 12) + 2;
    for (qsizetype n = m_first.size(); n > 0; --n) {
        m_words->setText(m_first.mid(0, n).join(QLatin1Char(' ')));
        if (m_words->heightForWidth(width) <= most) break;
    }
    m_words->setAccessibleName(tr("Cautions: %1").arg(m_words->text()));
    m_area->setFixedHeight(std::clamp(m_words->heightForWidth(width) + 2, line, std::max(line * 2, window()->height() / 6)));
}

QString CautionsFoot::text() const { return m_words->text(); }

} // namespace spanwright::views
