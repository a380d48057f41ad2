// SPDX-License-Identifier: MIT
#include "gui/views/cautions_foot.h"

#include <QEvent>
#include <QHBoxLayout>
#include <QLabel>
#include <QMessageBox>
#include <QPushButton>
#include <QScrollArea>

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
    connect(m_more, &QPushButton::clicked, this, [this] {
        auto* box = new QMessageBox(QMessageBox::NoIcon, tr("Cautions"), m_all.join(QStringLiteral("\n\n")), QMessageBox::Close, window());
        box->setAttribute(Qt::WA_DeleteOnClose);
        box->open();
    });
}

void CautionsFoot::setCautions(const QStringList& first, const QStringList& all) {
    m_all = all;
    m_words->setText(first.join(QLatin1Char(' ')));
    m_words->setAccessibleName(tr("Cautions: %1").arg(m_words->text()));
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

/// As high as the words need, up to a sixth of the window; the rest is scrolled to.
void CautionsFoot::fit() {
    const int line = m_words->fontMetrics().lineSpacing();
    const int wanted = m_words->heightForWidth(std::max(100, m_area->width() - 4));
    m_area->setFixedHeight(std::clamp(wanted + 2, line, std::max(line * 2, window()->height() / 6)));
}

QString CautionsFoot::text() const { return m_words->text(); }

} // namespace spanwright::views
