// SPDX-License-Identifier: MIT
#include "gui/app/load_dialog.h"

#include <QDialogButtonBox>
#include <QEventLoop>
#include <QFileInfo>
#include <QLabel>
#include <QProgressBar>
#include <QPushButton>
#include <QVBoxLayout>

#include <algorithm>

namespace spanwright::app {

namespace {
/// What is loaded sooner needs no words.
constexpr int kUnseen = 250;
constexpr int kOften = 60;
/// Reading members is a small part of the whole, as far as the bar goes.
constexpr int kReading = 200, kWhole = 1000;
} // namespace

QString inWords(const job::Progress& p) {
    if (p.stage != job::Progress::Stage::Reading) return LoadDialog::tr("Working out: %1 rows of at most %2").arg(p.done).arg(p.all);
    return p.all == 0 ? LoadDialog::tr("Reading") : LoadDialog::tr("Reading member %1 of %2").arg(std::min(p.done + 1, p.all)).arg(p.all);
}

int permilleOf(const job::Progress& p) {
    const int part = p.all == 0 ? 0 : static_cast<int>(std::min<std::size_t>(kWhole, p.done * kWhole / p.all));
    return p.stage == job::Progress::Stage::Reading ? part * kReading / kWhole : kReading + part * (kWhole - kReading) / kWhole;
}

LoadDialog::LoadDialog(models::Loading& loading, QWidget* parent) : QDialog(parent), m_loading(loading) {
    setWindowTitle(tr("Opening"));
    auto* column = new QVBoxLayout(this);
    auto* name = new QLabel(tr("Opening %1").arg(QFileInfo(loading.path()).fileName()), this);
    name->setWordWrap(true);
    column->addWidget(name);
    m_bar = new QProgressBar(this);
    m_bar->setRange(0, kWhole);
    m_bar->setTextVisible(false);
    m_bar->setAccessibleName(tr("How far it has come"));
    column->addWidget(m_bar);
    m_words = new QLabel(this);
    m_words->setWordWrap(true);
    m_words->setMinimumWidth(fontMetrics().averageCharWidth() * 56);
    column->addWidget(m_words);
    auto* box = new QDialogButtonBox(this);
    auto* stop = box->addButton(tr("&Stop"), QDialogButtonBox::RejectRole);
    stop->setObjectName(QStringLiteral("stop"));
    column->addWidget(box);
    connect(box, &QDialogButtonBox::rejected, this, &LoadDialog::reject);
    connect(&m_often, &QTimer::timeout, this, &LoadDialog::refresh);
    m_often.setInterval(kOften);
}

std::optional<models::LoadedJob> LoadDialog::run() {
    QEventLoop first;
    const auto ends = connect(&m_loading, &models::Loading::done, this, [this, &first] {
        m_done = true;
        first.quit();
    });
    QTimer::singleShot(kUnseen, &first, &QEventLoop::quit);
    // Nothing is done to the window while it is not said that it is busy; it paints all the same.
    if (!m_done) first.exec(QEventLoop::ExcludeUserInputEvents);
    disconnect(ends);
    if (!m_done) {
        connect(&m_loading, &models::Loading::done, this, [this] {
            m_done = true;
            accept();
        });
        m_often.start();
        refresh();
        exec();
        m_often.stop();
    }
    return m_loading.take();
}

void LoadDialog::reject() {
    // It ends when the thread has: then nothing of the old and the new is mixed.
    m_loading.giveUp();
    m_words->setText(tr("Stopping..."));
}

void LoadDialog::refresh() {
    if (m_loading.isGivenUp()) return;
    const job::Progress p = m_loading.progress();
    m_bar->setValue(permilleOf(p));
    m_words->setText(inWords(p));
}

} // namespace spanwright::app
