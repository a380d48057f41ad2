// SPDX-License-Identifier: MIT
#include "engine/base/large_pages.h"
#include "engine/cli/run.h"
#include "gui/paper/pdf_writer.h"

int main(int argc, char** argv) {
    spanwright::base::useLargePages();
    const spanwright::paper::PdfWriter paper;
    return spanwright::cli::runProgram(argc, argv, &paper);
}
