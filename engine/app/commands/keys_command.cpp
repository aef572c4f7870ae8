#include <unistd.h>

#include <CLI/CLI.hpp>
#include <cerrno>
#include <filesystem>
#include <memory>

#include "app/app.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "files/write.hpp"
#include "share/signature.hpp"

namespace budwood::app {

namespace fs = std::filesystem;

namespace {

/// Writes a file that is not there yet. What went wrong, in words; "" when nothing did.
std::string write_key(const std::string& path, const std::string& text, mode_t rights) {
  const int error = files::write_new(path, text, rights);
  if (error == 0) return "";
  return error == EEXIST
             ? "There is a file `" + path + "` already, and keys are never written over."
             : "`" + path + "` cannot be written: " + files::reason(error) + ".";
}

/// What a site is called: the name of a file as well as of a key in site.yaml.
std::string misuse_of_name(const std::string& name) {
  const std::string last = fs::path(name).filename().string();
  const bool plain =
      last.find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-") ==
      std::string::npos;
  if (!last.empty() && last.front() != '-' && plain) return "";
  return "`" + name + "` names no site: letters, digits, `_` and `-` do, such as `north_house`.";
}

int run_keys(const std::string& name) {
  constexpr mode_t only_owner = 0600;
  constexpr mode_t readable = 0644;
  if (const std::string misuse = misuse_of_name(name); !misuse.empty()) {
    complain(misuse);
    return exit_misuse;
  }
  const std::string secret = name + ".secret";
  const std::string open = name + ".public";
  const share::KeyPair keys = share::make_keys();
  std::string problem = write_key(secret, share::secret_key_text(keys), only_owner);
  if (problem.empty()) {
    problem = write_key(open, share::public_key_text(keys), readable);
    if (!problem.empty()) ::unlink(secret.c_str());
  }
  if (!problem.empty()) {
    complain(problem);
    return exit_faults;
  }
  const std::string site = fs::path(name).filename().string();
  const bool told = tell_done("The keys were written", [&](std::ostream& out) {
    out << secret << " signs your packs: keep it to yourself.\n"
        << "Other sites know them by this in their site.yaml:\n"
        << "trusts: {" << site << ": " << keys.public_key << "}\n";
  });
  return told ? exit_fine : exit_faults;
}

}  // namespace

Command add_keys(CLI::App& program) {
  const auto name = std::make_shared<std::string>();
  CLI::App* words =
      program.add_subcommand("keys", "A pair of keys, by which other sites know your packs");
  words
      ->add_option("NAME", *name,
                   "What your site is called; NAME.secret and NAME.public are written")
      ->type_name("")
      ->required();
  return {words, [name] { return run_keys(*name); }};
}

}  // namespace budwood::app
