#include "reading/reader.h"

#include "reading/barcodes.h"

namespace discal::reading {

namespace {

class Reader final : public services::CodeReader {
public:
    void expect(services::Wanted wanted) override { m_wanted = std::move(wanted); }
    services::Reading look(const services::Frame& frame) override {
        services::Reading reading;
        if (m_wanted.hasBarcodes)
            reading.barcodes = findBarcodes(frame);
        return reading;
    }

private:
    services::Wanted m_wanted;
};

} // namespace

Result<std::unique_ptr<services::CodeReader>> makeReader(const std::filesystem::path&) {
    return std::make_unique<Reader>();
}

} // namespace discal::reading
