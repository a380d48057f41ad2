// SPDX-License-Identifier: MIT
#include "gui/app/print_dialog.h"

#include <QComboBox>
#include <QDialogButtonBox>
#include <QFileDialog>
#include <QHBoxLayout>
#include <QLabel>
#include <QListWidget>
#include <QMessageBox>
#include <QPrintDialog>
#include <QPrinter>
#include <QProgressBar>
#include <QPushButton>
#include <QScreen>
#include <QVBoxLayout>

#include <algorithm>
#include <map>
#include <utility>

#include "gui/app/paper_view.h"
#include "gui/models/text.h"

namespace spanwright::app {

using models::fromUtf8;
using report::PaperWriter;

PrintDialog::PrintDialog(PaperMaker::Open open, std::optional<std::string> mark, const QString& proposed, QWidget* parent)
    : QDialog(parent), m_mark(std::move(mark)), m_proposed(proposed), m_members(new QListWidget(this)), m_form(new QComboBox(this)),
      m_size(new QComboBox(this)), m_view(new PaperView(this)) {
    setWindowTitle(tr("The calculation on paper"));
    const auto named = [this](const QString& words, QWidget* of) {
        auto* label = new QLabel(words, this);
        label->setBuddy(of);
        return label;
    };
    const auto words = [this] {
        auto* label = new QLabel(this);
        label->setWordWrap(true);
        label->setTextFormat(Qt::PlainText);
        return label;
    };
    auto* side = new QVBoxLayout;
    side->addWidget(named(tr("&Members"), m_members));
    m_members->setAccessibleName(tr("Members to print"));
    m_members->setWordWrap(true);
    m_members->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    side->addWidget(m_members, 1);
    auto* pick = new QHBoxLayout;
    for (const bool all : {true, false}) {
        auto* button = new QPushButton(all ? tr("&All") : tr("&None"), this);
        button->setAutoDefault(false);
        connect(button, &QPushButton::clicked, this, [this, all] { choose(all); });
        pick->addWidget(button);
    }
    pick->addStretch(1);
    side->addLayout(pick);
    m_form->addItem(tr("Whole calculation"));
    m_form->addItem(tr("In brief: stated values, checks, sketches"));
    m_form->setAccessibleName(tr("How much of each member"));
    m_form->setSizeAdjustPolicy(QComboBox::AdjustToContents);
    side->addWidget(named(tr("&How much"), m_form));
    side->addWidget(m_form);
    m_size->addItem(tr("A4"), static_cast<int>(PaperWriter::Size::A4));
    m_size->addItem(tr("Letter"), static_cast<int>(PaperWriter::Size::Letter));
    m_size->setAccessibleName(tr("Size of the paper"));
    if (QLocale().measurementSystem() == QLocale::ImperialUSSystem) m_size->setCurrentIndex(1);
    side->addWidget(named(tr("&Paper"), m_size));
    side->addWidget(m_size);
    side->addWidget(m_count = words());
    side->addWidget(m_old = words());
    m_anew = new QPushButton(tr("Make them a&new"), this);
    m_anew->setAutoDefault(false);
    connect(m_anew, &QPushButton::clicked, this, &PrintDialog::makeAnew);
    side->addWidget(m_anew);
    side->addWidget(m_words = words());
    auto* going = new QHBoxLayout;
    m_bar = new QProgressBar(this);
    m_bar->setTextVisible(false);
    m_bar->setAccessibleName(tr("How far it has come"));
    going->addWidget(m_bar, 1);
    m_stop = new QPushButton(this);
    m_stop->setAutoDefault(false);
    connect(m_stop, &QPushButton::clicked, this, [this] {
        if (m_out.isRunning())
            m_out.stop();
        else
            m_maker.enough();
        m_stop->setEnabled(false);
    });
    going->addWidget(m_stop);
    side->addLayout(going);
    side->addWidget(m_told = words());
    for (QWidget* w : {static_cast<QWidget*>(m_old), static_cast<QWidget*>(m_anew), static_cast<QWidget*>(m_told)}) w->hide();

    auto* box = new QDialogButtonBox(QDialogButtonBox::Close, this);
    m_save = box->addButton(tr("&Save as PDF..."), QDialogButtonBox::ActionRole);
    m_print = box->addButton(tr("P&rint..."), QDialogButtonBox::ActionRole);
    for (QPushButton* b : {m_save, m_print}) b->setAutoDefault(false);
    connect(m_save, &QPushButton::clicked, this, &PrintDialog::askAndSave);
    connect(m_print, &QPushButton::clicked, this, &PrintDialog::print);
    connect(box, &QDialogButtonBox::rejected, this, &PrintDialog::reject);

    auto* middle = new QHBoxLayout;
    middle->addLayout(side, 2);
    middle->addWidget(m_view, 5);
    auto* column = new QVBoxLayout(this);
    column->addLayout(middle, 1);
    column->addWidget(box);

    m_soon.setSingleShot(true);
    m_soon.setInterval(120);
    connect(&m_soon, &QTimer::timeout, this, [this] {
        m_maker.choose(choice());
        showState();
    });
    const auto later = [this] {
        m_soon.start();
        showState();
    };
    connect(m_members, &QListWidget::itemChanged, this, later);
    connect(m_form, &QComboBox::currentIndexChanged, this, later);
    connect(m_size, &QComboBox::currentIndexChanged, this, later);
    connect(m_view, &PaperView::pageChanged, this, &PrintDialog::showState);
    connect(&m_maker, &PaperMaker::wasRead, this, &PrintDialog::listMembers);
    connect(&m_maker, &PaperMaker::bookChanged, this, [this] { m_view->setBook(m_maker.book()); });
    connect(&m_maker, &PaperMaker::changed, this, &PrintDialog::showState);
    connect(&m_out, &PaperOut::progressed, m_bar, &QProgressBar::setValue);
    connect(&m_out, &PaperOut::ended, this, &PrintDialog::ended);
    const QSize room = screen() != nullptr ? screen()->availableSize() : QSize(1280, 720);
    resize(std::min(room.width() - 80, fontMetrics().averageCharWidth() * 150), std::min(room.height() - 80, fontMetrics().height() * 50));
    m_maker.read(std::move(open));
    m_view->setFocus();
}

/// The job has been read. Members that were listed before stay chosen or not, as they were.
void PrintDialog::listMembers() {
    std::map<QString, Qt::CheckState> before;
    for (int i = 0; i < m_members->count(); ++i) before[m_members->item(i)->data(Qt::UserRole).toString()] = m_members->item(i)->checkState();
    const bool first = before.empty();
    const bool all = std::all_of(before.begin(), before.end(), [](const auto& m) { return m.second == Qt::Checked; });
    {
        const QSignalBlocker quiet(m_members);
        m_members->clear();
        for (const report::MemberFacts& f : m_maker.facts()->members) {
            const job::MemberView& m = f.view;
            const QString mark = fromUtf8(m.mark);
            auto* item = new QListWidgetItem(m.purpose.empty() ? mark : tr("%1, %2").arg(mark, fromUtf8(m.purpose)), m_members);
            item->setData(Qt::UserRole, mark);
            item->setFlags(Qt::ItemIsUserCheckable | Qt::ItemIsEnabled | Qt::ItemIsSelectable);
            const auto known = before.find(mark);
            const bool chosen = first ? !m_mark || *m_mark == m.mark : known != before.end() ? known->second == Qt::Checked : all;
            item->setCheckState(chosen ? Qt::Checked : Qt::Unchecked);
            item->setToolTip(item->text());
        }
    }
    m_soon.stop();
    m_maker.choose(choice());
    showState();
}

bool PrintDialog::isReady() const { return !m_soon.isActive() && m_maker.isReady(); }

std::shared_ptr<const paper::PageBook> PrintDialog::book() const { return isReady() ? m_maker.book() : nullptr; }

QString PrintDialog::told() const { return m_told->text(); }

void PrintDialog::showState() {
    const auto stage = m_maker.stage();
    const auto shown = m_view->book();
    if (m_soon.isActive() || stage == PaperMaker::Stage::Sets || (m_maker.isSetting() && !shown))
        m_count->setText(tr("setting the pages..."));
    else if (shown)
        m_count->setText(tr("page %1 of %2").arg(m_view->page()).arg(shown->pageCount()));
    else
        m_count->setText(m_maker.facts() ? tr("no member is chosen") : QString());

    const bool writes = m_out.isRunning();
    const auto now = choice();
    const bool waits =
        stage == PaperMaker::Stage::Reads || ((stage == PaperMaker::Stage::WorksOutTrials || stage == PaperMaker::Stage::Plans) && now && now->isWhole());
    if (!writes && waits) {
        m_words->setText(m_maker.words());
        const auto permille = m_maker.permille();
        m_bar->setRange(0, permille ? 1000 : 0);
        m_bar->setValue(permille.value_or(0));
        const QString stop = stage == PaperMaker::Stage::WorksOutTrials ? tr("&Leave the rest out")
                             : stage == PaperMaker::Stage::Plans        ? tr("S&top with the best so far")
                                                                        : QString();
        if (m_stop->text() != stop || m_stop->isHidden()) m_stop->setEnabled(true);
        m_stop->setText(stop);
    }
    m_words->setVisible(writes || waits);
    m_bar->setVisible(writes || waits);
    m_stop->setVisible(writes || (waits && stage != PaperMaker::Stage::Reads));
    // What is written is whole, or it is not written.
    const bool can = book() != nullptr && !writes;
    m_save->setEnabled(can);
    m_print->setEnabled(can);
    m_anew->setEnabled(stage != PaperMaker::Stage::Reads);
}

void PrintDialog::setOutOfDate(const QString& why, std::function<PaperMaker::Open()> asNow) {
    m_asNow = std::move(asNow);
    m_old->setText(why);
    m_old->setVisible(!why.isEmpty());
    m_anew->setVisible(!why.isEmpty() && m_asNow);
}

void PrintDialog::makeAnew() {
    if (!m_asNow) return;
    m_maker.read(m_asNow());
    setOutOfDate({});
    showState();
}

void PrintDialog::choose(bool all) {
    {
        const QSignalBlocker quiet(m_members);
        for (int i = 0; i < m_members->count(); ++i) m_members->item(i)->setCheckState(all ? Qt::Checked : Qt::Unchecked);
    }
    m_soon.start();
    showState();
}

std::optional<PaperMaker::Choice> PrintDialog::choice() const {
    PaperMaker::Choice out;
    out.scope.brief = m_form->currentIndex() == 1;
    out.format.size = static_cast<PaperWriter::Size>(m_size->currentData().toInt());
    for (int i = 0; i < m_members->count(); ++i)
        if (m_members->item(i)->checkState() == Qt::Checked) out.scope.members.push_back(static_cast<std::size_t>(i));
    if (out.scope.members.empty() && m_members->count() > 0) return {};
    // All is no choice, and the cover then speaks of no part.
    if (static_cast<int>(out.scope.members.size()) == m_members->count()) out.scope.members.clear();
    return out;
}

bool PrintDialog::savePdf(const QString& path) {
    const auto pages = book();
    if (!pages || m_out.isRunning()) return false;
    m_out.save(pages, path);
    m_words->setText(tr("Writing %1...").arg(path));
    begun();
    return true;
}

bool PrintDialog::printTo(const std::shared_ptr<QPrinter>& printer, int first, int last) {
    const auto pages = book();
    if (!pages || m_out.isRunning()) return false;
    m_out.print(pages, printer, first, last);
    m_words->setText(tr("Printing..."));
    begun();
    return true;
}

void PrintDialog::begun() {
    m_bar->setRange(0, 1000);
    m_bar->setValue(0);
    m_stop->setText(tr("S&top"));
    m_stop->setEnabled(true);
    m_told->hide();
    showState();
}

void PrintDialog::ended(PaperOut::End end, const QString& words) {
    m_told->setText(words);
    m_told->show();
    showState();
    if (end == PaperOut::End::Failed) QMessageBox::warning(this, tr("Not written"), words);
}

void PrintDialog::askAndSave() {
    const QString path = QFileDialog::getSaveFileName(this, tr("Save as PDF"), m_proposed, tr("PDF (*.pdf)"));
    if (!path.isEmpty()) savePdf(path);
}

void PrintDialog::print() {
    const auto pages = book();
    if (!pages) return;
    const auto printer = std::make_shared<QPrinter>(QPrinter::HighResolution);
    printer->setFullPage(true);
    printer->setPageSize(QPageSize(pages->format().size == PaperWriter::Size::A4 ? QPageSize::A4 : QPageSize::Letter));
    QPrintDialog ask(printer.get(), this);
    ask.setMinMax(1, pages->pageCount());
    ask.setFromTo(1, pages->pageCount());
    if (ask.exec() != QDialog::Accepted) return;
    const bool some = ask.printRange() == QAbstractPrintDialog::PageRange;
    printTo(printer, some ? std::max(1, ask.fromPage()) : 1, some ? std::min(pages->pageCount(), ask.toPage()) : pages->pageCount());
}

bool PrintDialog::mayClose() {
    if (!m_out.isRunning()) return true;
    QMessageBox ask(QMessageBox::Question, tr("Not yet written"), tr("The pages are still being written. If this is closed now, nothing is written."),
                    QMessageBox::NoButton, this);
    QPushButton* goOn = ask.addButton(tr("&Go on writing"), QMessageBox::RejectRole);
    QPushButton* close = ask.addButton(tr("&Close"), QMessageBox::DestructiveRole);
    ask.setDefaultButton(goOn);
    ask.setEscapeButton(goOn);
    // Nothing is to be asked any more once it is written.
    connect(&m_out, &PaperOut::ended, &ask, &QDialog::reject);
    ask.exec();
    if (ask.clickedButton() != close && m_out.isRunning()) return false;
    m_out.stop();
    return true;
}

void PrintDialog::reject() {
    if (mayClose()) QDialog::reject();
}

} // namespace spanwright::app
