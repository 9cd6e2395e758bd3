#include "io/access/certificate.hpp"

#include <fmt/format.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/rand.h>
#include <openssl/x509v3.h>

#include <algorithm>
#include <array>
#include <fstream>
#include <iterator>
#include <memory>
#include <optional>

#include "io/sink/output_file.hpp"

namespace amphora::access {
namespace {

template <auto free>
struct Free {
    template <class T>
    void operator()(T* one) const {
        free(one);
    }
};
using Key = std::unique_ptr<EVP_PKEY, Free<&::EVP_PKEY_free>>;
using X509Ptr = std::unique_ptr<X509, Free<&::X509_free>>;
using Text = std::unique_ptr<BIO, Free<&::BIO_free_all>>;
using Extension = std::unique_ptr<X509_EXTENSION, Free<&::X509_EXTENSION_free>>;
using Serial = std::unique_ptr<BIGNUM, Free<&::BN_free>>;

std::string text_of(const Text& bio) {
    char* begin = nullptr;
    const long size = BIO_get_mem_data(bio.get(), &begin);
    return size > 0 ? std::string(begin, static_cast<std::size_t>(size)) : std::string();
}

std::string pem(X509& certificate) {
    const Text out(::BIO_new(::BIO_s_mem()));
    ::PEM_write_bio_X509(out.get(), &certificate);
    return text_of(out);
}

std::string pem(EVP_PKEY& key) {
    const Text out(::BIO_new(::BIO_s_mem()));
    ::PEM_write_bio_PrivateKey(out.get(), &key, nullptr, nullptr, 0, nullptr, nullptr);
    return text_of(out);
}

std::string fingerprint_of(X509& certificate) {
    std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
    unsigned size = 0;
    ::X509_digest(&certificate, ::EVP_sha256(), digest.data(), &size);
    return fmt::format("{:02X}", fmt::join(digest.begin(), digest.begin() + size, ":"));
}

bool add(X509& certificate, int what, const std::string& value) {
    X509V3_CTX context;
    X509V3_set_ctx_nodb(&context);
    ::X509V3_set_ctx(&context, &certificate, &certificate, nullptr, nullptr, 0);
    const Extension extension(::X509V3_EXT_conf_nid(nullptr, &context, what, value.c_str()));
    return extension && ::X509_add_ext(&certificate, extension.get(), -1) == 1;
}

bool is_plain(std::string_view text) {
    return !text.empty() && text.size() < 254 &&
           std::ranges::all_of(
               text, [](unsigned char c) { return std::isalnum(c) != 0 || c == '.' || c == '-' || c == ':'; });
}

std::string alternatives(const std::vector<std::string>& names, const std::vector<std::string>& addresses) {
    std::string list;
    for (const auto& [kind, all] : {std::pair{"DNS", &names}, std::pair{"IP", &addresses}})
        for (const auto& one : *all)
            if (is_plain(one)) list += fmt::format("{}{}:{}", list.empty() ? "" : ",", kind, one);
    return list;
}

bool set_serial(X509& certificate) {
    const Serial serial(::BN_new());
    return serial && ::BN_rand(serial.get(), 127, BN_RAND_TOP_ANY, BN_RAND_BOTTOM_ANY) == 1 &&
           ::BN_to_ASN1_INTEGER(serial.get(), ::X509_get_serialNumber(&certificate)) != nullptr;
}

// RFC 5280: version 3, its own issuer, for servers, no authority over others.
X509Ptr made(EVP_PKEY& key, const std::string& alternatives, Moment now) {
    X509Ptr one(::X509_new());
    if (!one) return nullptr;
    const auto from = (now - std::chrono::days(1)).time_since_epoch().count();
    const auto until = (now + certificate_lasts).time_since_epoch().count();
    X509_NAME* name = ::X509_get_subject_name(one.get());
    const auto* title = reinterpret_cast<const unsigned char*>("Amphora");
    const bool well = ::X509_set_version(one.get(), 2) == 1 && set_serial(*one) &&
                      ::ASN1_TIME_set(::X509_getm_notBefore(one.get()), from) != nullptr &&
                      ::ASN1_TIME_set(::X509_getm_notAfter(one.get()), until) != nullptr &&
                      ::X509_NAME_add_entry_by_txt(name, "CN", MBSTRING_ASC, title, -1, -1, 0) == 1 &&
                      ::X509_set_issuer_name(one.get(), name) == 1 && ::X509_set_pubkey(one.get(), &key) == 1 &&
                      add(*one, NID_basic_constraints, "critical,CA:FALSE") &&
                      add(*one, NID_key_usage, "critical,digitalSignature") &&
                      add(*one, NID_ext_key_usage, "serverAuth") && add(*one, NID_subject_alt_name, alternatives) &&
                      ::X509_sign(one.get(), &key, ::EVP_sha256()) > 0;
    return well ? std::move(one) : nullptr;
}

// What is in the file; nothing where it is no key with its certificate, or lapses within a month.
std::optional<Certificate> kept(const std::string& text, Moment now) {
    const Text in(::BIO_new_mem_buf(text.data(), static_cast<int>(text.size())));
    const Key key(::PEM_read_bio_PrivateKey(in.get(), nullptr, nullptr, nullptr));
    const X509Ptr one(key ? ::PEM_read_bio_X509(in.get(), nullptr, nullptr, nullptr) : nullptr);
    if (!one || ::X509_check_private_key(one.get(), key.get()) != 1) return std::nullopt;
    std::time_t month_on = (now + std::chrono::days(30)).time_since_epoch().count();
    if (::X509_cmp_time(::X509_get0_notAfter(one.get()), &month_on) <= 0) return std::nullopt;
    return Certificate{pem(*one), pem(*key), fingerprint_of(*one)};
}

}  // namespace

std::expected<Certificate, std::string> certificate_in(const std::filesystem::path& file,
                                                       const std::vector<std::string>& names,
                                                       const std::vector<std::string>& addresses, Moment now) {
    std::ifstream in(file, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    if (auto there = kept(text, now)) return *there;

    const Key key(::EVP_EC_gen("P-256"));
    const X509Ptr one(key ? made(*key, alternatives(names, addresses), now) : nullptr);
    if (!one) return std::unexpected(std::string("no certificate could be made; --known-as takes host names only"));
    const Certificate certificate{pem(*one), pem(*key), fingerprint_of(*one)};
    if (const auto done = sink::replace_file(file.string(), certificate.key + certificate.chain, sink::Readers::owner);
        !done)
        return std::unexpected(done.error().message);
    return certificate;
}

}  // namespace amphora::access
