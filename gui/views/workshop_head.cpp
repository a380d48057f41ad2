// SPDX-License-Identifier: MIT
#include "gui/views/workshop_head.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QMenu>
#include <QPushButton>
#include <QSpinBox>
#include <QToolButton>

#include <cstddef>
#include <vector>

#include "engine/report/shop_pages.h"
#include "gui/models/text.h"
#include "gui/views/stamp_label.h"

namespace spanwright::views {

using models::LiveWorkshop;

namespace {

constexpr std::size_t kMostNamed = 6;

/// Of many members only the first are named here.
QString inShort(const report::Inlines& line) {
    std::vector<std::size_t> boxed;
    for (std::size_t i = 0; i < line.size(); ++i)
        if (line[i].kind == report::Inline::Kind::Boxed) boxed.push_back(i);
    if (boxed.size() <= kMostNamed) return models::fromUtf8(report::wordsOf(line));
    const auto at = [&](std::size_t i) { return line.begin() + static_cast<std::ptrdiff_t>(boxed[i] + 1); };
    const QString named = models::fromUtf8(report::wordsOf({line.begin(), at(kMostNamed - 1)}));
    const QString rest = models::fromUtf8(report::wordsOf({at(boxed.size() - 1), line.end()}));
    return WorkshopHead::tr("%1 and %2 more%3").arg(named).arg(boxed.size() - kMostNamed).arg(rest);
}

} // namespace

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
    m_words->setToolTip({});
    if (!words.isEmpty() && m_live.workshop())
        if (const auto notice = report::notOkNotice(*m_live.workshop())) {
            const report::Inlines& line = std::get<report::Paragraph>(notice->is).text;
            m_said.prepend(inShort(line) + QLatin1Char(' '));
            m_words->setToolTip(models::fromUtf8(report::wordsOf(line)));
        }
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
