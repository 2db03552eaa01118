# To be included by the Makefile.

# To pack the programs for Linux; for Windows and macOS see DEVELOPERS.md.
PACKAGE_PACKAGES := $(BUILD_PACKAGES) librsvg2-bin dpkg-dev desktop-file-utils

.PHONY: package package-packages

# package writes an archive for any Linux, and a package for Debian where that
# can be made, to out/package/.
package: package-packages
	desktop-file-validate cmd/copperglass/packaging/copperglass.desktop
	cmd/copperglass/packaging/linux.sh

package-packages:
	$(call install-missing,$(PACKAGE_PACKAGES))
