#pragma once

#include <functional>

#include "book/book.hpp"
#include "book/library.hpp"

namespace budwood::book {

/// How the protocols and rule sets of some folders are read: `read_library`, or what was read of
/// them before and is kept.
using LibraryReader = std::function<language::Document(
    const std::vector<LibraryFolder>&, const WantedNames&, text::Sources&, text::Diagnostics&)>;

/// `read_written_book` with another way to get at the library, for those who read a book again and
/// again.
std::optional<Book> read_with_library(const std::filesystem::path& folder,
                                      const LibraryReader& read, text::Sources& sources,
                                      text::Diagnostics& diagnostics,
                                      LibraryPart part = LibraryPart::whole);

/// What a site writes under `protocols` for the library that came with the program.
inline constexpr std::string_view shipped_library = "budwood";

/// The folder that a site's `protocols` leads to, from the folder of its book.
std::filesystem::path protocols_folder(const std::filesystem::path& book,
                                       const std::string& protocols);

}  // namespace budwood::book
