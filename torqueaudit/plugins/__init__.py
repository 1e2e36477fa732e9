"""The plugins of one run: found and loaded, and asked hook by hook. One that breaks takes no other with it."""

from torqueaudit.plugins.manager import fault_of as fault_of
from torqueaudit.plugins.questions import GROUP as GROUP
from torqueaudit.plugins.questions import Plugins as Plugins
from torqueaudit.plugins.questions import load_plugins as load_plugins
