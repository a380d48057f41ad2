// SPDX-License-Identifier: MIT
#include "gui/views/workshop_head.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QMenu>
#include <QPushButton>
#include <QSpinBox>
#include <QToolButton>

#include "engine/report/shop_pages.h"
#include "gui/models/text.h"
#include "gui/views/stamp_label.h"

namespace spanwright::views {

using models::LiveWorkshop;

WorkshopHead::WorkshopHead(LiveWorkshop& live, bool search, QWidget* parent) : QWidget(parent), m_live(live) {
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(8, 4, 8, 4);
    m_stamp = new StampLabel(this);
    m_stamp->setSizePolicy(QSizePolicy::Fixed, QSizePolicy::Fixed);
    m_stamp->hide();
    row->addWidget(m_stamp);
    m_words = new QLabel(this);
    m_words->setWordWrap(true);
    m_words->setTextFormat(Qt::PlainText);
    m_words->setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Preferred);
    row->addWidget(m_words, 1);
    if (search) {
        m_seconds = new QSpinBox(this);
        m_seconds->setRange(1, 600);
        m_seconds->setSuffix(tr(" s"));
        m_seconds->setValue(live.seconds());
        m_seconds->setKeyboardTracking(false);
        m_seconds->setAccessibleName(tr("Longest search for each material, in seconds"));
        m_seconds->setToolTip(tr("Longest search for each material. The same number gives the same plan on every machine; a slower one takes longer."));
        auto* label = new QLabel(tr("&Search"), this);
        label->setBuddy(m_seconds);
        row->addWidget(label);
        row->addWidget(m_seconds);
        connect(m_seconds, &QSpinBox::valueChanged, this, [this](int seconds) { m_live.setSeconds(seconds); });
        m_stop = new QPushButton(tr("S&top with the best so far"), this);
        row->addWidget(m_stop);
        connect(m_stop, &QPushButton::clicked, this, [this] {
            m_live.stop();
            m_stop->setEnabled(false);
        });
    }
    m_export = new QToolButton(this);
    m_export->setText(tr("&Export"));
    m_export->setAccessibleName(tr("Export"));
    m_export->setPopupMode(QToolButton::InstantPopup);
    m_export->setFocusPolicy(Qt::StrongFocus);
    m_menu = new QMenu(m_export);
    m_export->setMenu(m_menu);
    row->addWidget(m_export);
    connect(&live, &LiveWorkshop::changed, this, &WorkshopHead::refresh);
    refresh();
}

QAction* WorkshopHead::addExport(const QString& text, const std::function<void()>& what) {
    QAction* action = m_menu->addAction(text);
    connect(action, &QAction::triggered, this, what);
    return action;
}

void WorkshopHead::show(const QString& words, ink::Stamp stamp, const QString& word) {
    m_said = words;
    // Whose pieces must wait is said before what is to be bought.
    if (!words.isEmpty() && m_live.workshop())
        if (const auto notice = report::notOkNotice(*m_live.workshop()))
            m_said.prepend(models::fromUtf8(report::wordsOf(std::get<report::Paragraph>(notice->is).text)) + QLatin1Char(' '));
    m_stamp->show(stamp, word, {});
    refresh();
}

QString WorkshopHead::words() const { return m_words->text(); }

void WorkshopHead::refresh() {
    const bool works = m_live.phase() != LiveWorkshop::Phase::Rests;
    const bool old = m_live.isOutOfDate();
    QString words = m_said;
    if (!m_live.isPossible())
        words = tr("A job has a workshop; no job is open.");
    else if (works)
        words = old ? tr("Out of date; it is being planned anew ...") : tr("It is being planned how boards and panels are cut ...");
    else if (old)
        words = tr("Out of date.");
    m_words->setText(words);
    // A verdict of before an edit has no box.
    m_stamp->setVisible(!works && !old && m_live.workshop() != nullptr && !m_stamp->accessibleName().isEmpty());
    if (m_stop != nullptr) {
        m_stop->setEnabled(m_live.phase() == LiveWorkshop::Phase::Plans);
        const QSignalBlocker quiet(m_seconds);
        m_seconds->setValue(m_live.seconds());
    }
    m_export->setEnabled(!works && !old && m_live.workshop() != nullptr);
}

} // namespace spanwright::views
