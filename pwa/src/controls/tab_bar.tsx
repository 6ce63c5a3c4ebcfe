import "./tab_bar.css";
import { Link } from "./button.tsx";
import type { IconName } from "./icon.tsx";

type TabBarProps = {
  readonly tabs: readonly { readonly path: string; readonly tab: IconName; readonly title: string }[];
  readonly lit: string;
};

/** The page's tabs, under the thumb. Each has the icon of its own name. lit: the tab of the place that is shown. */
export function TabBar({ tabs, lit }: TabBarProps) {
  return (
    <nav class="places" aria-label="Places">
      {tabs.map(({ path, tab, title }) => (
        <Link key={tab} to={path} class="place" icon={tab} current={tab === lit}>
          <span>{title}</span>
        </Link>
      ))}
    </nav>
  );
}
