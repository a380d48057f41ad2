// SPDX-License-Identifier: MIT
#include "engine/base/large_pages.h"
#include "engine/cli/run.h"

int main(int argc, char** argv) {
    spanwright::base::useLargePages();
    return spanwright::cli::runProgram(argc, argv, nullptr);
}
