// SPDX-License-Identifier: MIT
#include "gui/app/pinned_dialog.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QListWidget>
#include <QPushButton>
#include <QVBoxLayout>

#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::app {

using models::fromUtf8;

PinnedDialog::PinnedDialog(models::JobSession& session, QWidget* parent) : QDialog(parent), m_session(session) {
    setWindowTitle(tr("Trials in the report"));
    resize(640, 360);
    auto* column = new QVBoxLayout(this);
    auto* head = new QLabel(tr("The report works each of them out anew and prints its settings with what came of it."), this);
    head->setWordWrap(true);
    column->addWidget(head);
    m_list = new QListWidget(this);
    m_list->setAccessibleName(tr("Pinned trials"));
    m_list->setWordWrap(true);
    column->addWidget(m_list, 1);
    m_words = new QLabel(this);
    m_words->setWordWrap(true);
    m_words->setTextFormat(Qt::PlainText);
    column->addWidget(m_words);
    auto* row = new QHBoxLayout;
    m_out = new QPushButton(tr("&Take it out"), this);
    m_out->setAutoDefault(false);
    auto* close = new QPushButton(tr("C&lose"), this);
    row->addWidget(m_out);
    row->addStretch(1);
    row->addWidget(close);
    column->addLayout(row);
    connect(m_out, &QPushButton::clicked, this, &PinnedDialog::takeOut);
    connect(close, &QPushButton::clicked, this, &QDialog::accept);
    connect(m_list, &QListWidget::currentRowChanged, this, &PinnedDialog::tell);
    fill();
}

void PinnedDialog::fill() {
    m_session.finish();
    const int at = std::max(0, m_list->currentRow());
    m_list->clear();
    m_told.clear();
    for (const trial::PinnedPlan& p : trial::planPinned(m_session.job())) {
        QString text = fromUtf8(p.pinned.text);
        if (!p.pinned.what.empty()) text += QStringLiteral("   ") + models::wordsOf(p.pinned.what);
        if (p.problem) text += QLatin1Char('\n') + tr("cannot be worked out: %1").arg(models::wordsOf(p.problem->message));
        m_list->addItem(text);
        m_told.push_back(p.problem && !p.problem->mend.empty() ? tr("mend: %1").arg(models::wordsOf(p.problem->mend)) : QString());
    }
    m_list->setCurrentRow(std::min(at, m_list->count() - 1));
    tell();
}

void PinnedDialog::tell() {
    const int at = m_list->currentRow();
    m_out->setEnabled(at >= 0);
    QString words = m_list->count() == 0 ? tr("No trial is pinned. Beside a value, and where values are varied, a button pins one.") : QString();
    if (at >= 0 && at < static_cast<int>(m_told.size())) words = m_told[static_cast<std::size_t>(at)];
    m_words->setText(words);
    m_words->setVisible(!words.isEmpty());
}

QString PinnedDialog::told() const { return m_words->text(); }

void PinnedDialog::takeOut() {
    const int at = m_list->currentRow();
    if (at < 0) return;
    const models::Outcome outcome = m_session.edit(tr("a trial taken out"), [&](job::Job& job) { return trial::unpin(job, static_cast<std::size_t>(at)); });
    fill();
    if (!outcome) return;
    m_words->setText(outcome->message);
    m_words->show();
}

} // namespace spanwright::app
